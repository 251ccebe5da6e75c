# Installs the build into a fresh prefix and builds a small project on it in the two ways that
# others may use: find_package on the prefix, add_subdirectory on the sources. The program reads a
# part from the installed models and prints what the installed command prints.
foreach(needed BUILD SOURCE GENERATOR CXX)
  if(NOT ${needed})
    message(FATAL_ERROR "consumer.cmake needs -D${needed}=…")
  endif()
endforeach()
set(work ${BUILD}/consumer)
file(REMOVE_RECURSE ${work})

function(run)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE text)
  if(NOT status EQUAL 0)
    string(JOIN " " line ${ARGN})
    message(FATAL_ERROR "${line}\nended with ${status}\n${text}")
  endif()
  set(output "${text}" PARENT_SCOPE)
endfunction()

run(${CMAKE_COMMAND} --install ${BUILD} --prefix ${work}/prefix)
foreach(file bin/damper include/libdamper/base/error.hpp share/damper/models/discs
        share/damper/scenarios share/man/man1/damper.1
        share/bash-completion/completions/damper)
  if(NOT EXISTS ${work}/prefix/${file})
    message(FATAL_ERROR "cmake --install left out ${file}")
  endif()
endforeach()

set(common -G ${GENERATOR} -S ${SOURCE}/tests/end_to_end/consumer -DCMAKE_CXX_COMPILER=${CXX}
    -DCMAKE_CXX_FLAGS=${FLAGS} -DCMAKE_CXX_COMPILER_LAUNCHER=${LAUNCHER})
run(${CMAKE_COMMAND} ${common} -B ${work}/by_package -DCMAKE_PREFIX_PATH=${work}/prefix)
run(${CMAKE_COMMAND} --build ${work}/by_package)
run(${work}/by_package/consumer)
message("find_package: ${output}")

run(${CMAKE_COMMAND} ${common} -B ${work}/by_subdirectory -DDAMPER_SOURCE=${SOURCE})
# As a subproject it would be compiled whole once more, minutes for nothing new: its first rooms and
# the consumer's own source tell whether targets, generated files and include folders are right there.
run(${CMAKE_COMMAND} --build ${work}/by_subdirectory
    --target damper_base damper_quantity CMakeFiles/consumer.dir/consumer.cpp.o)
message("add_subdirectory: ${output}")

# The installed command finds the installed models, not those of the source tree.
run(${CMAKE_COMMAND} -E env --unset=DAMPER_MODELS
    ${work}/prefix/bin/damper loop car_soft_long_idle --format csv)
if(NOT output MATCHES "twist_rad")
  message(FATAL_ERROR "the installed command printed no table:\n${output}")
endif()
