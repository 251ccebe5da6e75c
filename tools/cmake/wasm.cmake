# Compiles C++ to WebAssembly beside the program, in the same build.
#
# emscripten's compiler is a script around clang; sources are compiled by that clang itself with
# the flags the script tells, which saves half a second a file. The script links.

# Sets DAMPER_WASM_COMPILER, DAMPER_WASM_LINKER and DAMPER_WASM_FLAGS, or leaves them empty.
macro(damper_find_wasm_compiler)
  set(DAMPER_WASM_HEADERS eigen3/Eigen boost fmt toml++ nlohmann tl)
  find_program(DAMPER_WASM_LINKER em++)
  find_program(DAMPER_WASM_CONFIG em-config)
  # Debian keeps what emscripten's optimiser needs of node where only NODE_PATH finds it.
  set(DAMPER_WASM_ENVIRONMENT ${CMAKE_COMMAND} -E env NODE_PATH=/usr/share/nodejs)
  if(DAMPER_WASM_LINKER AND DAMPER_WASM_CONFIG AND NOT DAMPER_WASM_COMPILER)
    execute_process(COMMAND ${DAMPER_WASM_CONFIG} LLVM_ROOT OUTPUT_VARIABLE llvm
                    OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
    find_program(DAMPER_WASM_COMPILER clang++ PATHS ${llvm} NO_DEFAULT_PATH)
    execute_process(COMMAND ${DAMPER_WASM_ENVIRONMENT} ${DAMPER_WASM_LINKER} --cflags
                    OUTPUT_VARIABLE flags OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
    separate_arguments(flags UNIX_COMMAND "${flags}")
    list(REMOVE_ITEM flags -fignore-exceptions)
    set(DAMPER_WASM_FLAGS ${flags} CACHE INTERNAL "Flags that emscripten compiles with")
  endif()
  foreach(folder IN LISTS DAMPER_WASM_HEADERS)
    if(NOT EXISTS /usr/include/${folder})
      unset(DAMPER_WASM_COMPILER CACHE)
    endif()
  endforeach()
endmacro()

# damper_wasm(TARGET SOURCES … FAST regex ALONE regex EVERYWHERE header EXPORTS …
#             OUTPUT path-without-ending)
#
# Sources that FAST matches are optimised in full, the others less, which takes a quarter less time.
# Up to eight sources of a folder are compiled as one, which takes half the time; those that ALONE
# matches are not, because they and a neighbour give one name to two things.
# Makes OUTPUT.js (a function damper_engine that starts it), OUTPUT.wasm and OUTPUT.wasm.gz.
# EVERYWHERE is read before every source.
function(damper_wasm target)
  cmake_parse_arguments(W "" "FAST;ALONE;EVERYWHERE;OUTPUT" "SOURCES;EXPORTS" ${ARGN})
  # Only these folders of /usr/include: the rest is of another processor.
  set(include ${CMAKE_CURRENT_BINARY_DIR}/include)
  file(MAKE_DIRECTORY ${include} ${CMAKE_CURRENT_BINARY_DIR}/objects)
  foreach(folder IN LISTS DAMPER_WASM_HEADERS)
    get_filename_component(name ${folder} NAME)
    file(CREATE_LINK /usr/include/${folder} ${include}/${name} SYMBOLIC)
  endforeach()
  set(exceptions -fwasm-exceptions)
  set(compile ${DAMPER_WASM_COMPILER} ${DAMPER_WASM_FLAGS} ${exceptions} -msimd128
      -std=c++20 -ffp-contract=off -DNDEBUG -DDAMPER_VERSION="${PROJECT_VERSION}"
      -ffile-prefix-map=${PROJECT_SOURCE_DIR}=. -I${PROJECT_SOURCE_DIR} -I${include})
  set(pch ${CMAKE_CURRENT_BINARY_DIR}/objects/everywhere.pch)
  add_custom_command(OUTPUT ${pch}
    COMMAND ${compile} -O2 -MD -MF ${pch}.d -MT ${pch} -x c++-header ${W_EVERYWHERE} -o ${pch}
    DEPENDS ${W_EVERYWHERE} DEPFILE ${pch}.d
    COMMENT "Preparing WebAssembly headers" VERBATIM)
  set(pieces)
  foreach(source IN LISTS W_SOURCES)
    file(RELATIVE_PATH short ${PROJECT_SOURCE_DIR} ${source})
    set(optimise O1)
    if(short MATCHES "${W_FAST}")
      set(optimise O2)
    endif()
    get_filename_component(folder ${short} DIRECTORY)
    set(piece ${folder}_${optimise})
    if(short MATCHES "${W_ALONE}")
      get_filename_component(name ${short} NAME_WE)
      set(piece ${folder}_${name}_${optimise})
    endif()
    string(REPLACE "/" "_" piece ${piece})
    list(LENGTH of_${piece} before)
    math(EXPR part "${before} / 8")
    list(APPEND of_${piece} ${source})
    list(APPEND pieces ${piece}_${part})
    list(APPEND in_${piece}_${part} ${source})
    set(optimise_${piece}_${part} -${optimise})
  endforeach()
  list(REMOVE_DUPLICATES pieces)
  set(objects)
  foreach(piece IN LISTS pieces)
    set(path ${CMAKE_CURRENT_BINARY_DIR}/objects/${piece})
    list(JOIN in_${piece} "\"\n#include \"" lines)
    file(CONFIGURE OUTPUT ${path}.cpp CONTENT "#include \"${lines}\"\n")
    add_custom_command(OUTPUT ${path}.o
      COMMAND ${compile} ${optimise_${piece}} -include-pch ${pch} -MD -MF ${path}.d -MT ${path}.o
              -c ${path}.cpp -o ${path}.o
      DEPENDS ${path}.cpp ${in_${piece}} ${pch} DEPFILE ${path}.d
      COMMENT "Building WebAssembly object ${piece}" VERBATIM)
    list(APPEND objects ${path}.o)
  endforeach()
  list(JOIN W_EXPORTS "," exports)
  add_custom_command(OUTPUT ${W_OUTPUT}.js ${W_OUTPUT}.wasm ${W_OUTPUT}.wasm.gz
    COMMAND ${DAMPER_WASM_ENVIRONMENT} ${DAMPER_WASM_LINKER} ${objects} ${exceptions} -O2
            -sENVIRONMENT=web,worker,node -sMODULARIZE=1 -sEXPORT_NAME=damper_engine
            -sALLOW_MEMORY_GROWTH=1 -sINITIAL_MEMORY=33554432 -sTOTAL_STACK=4194304
            -sFORCE_FILESYSTEM=0 -sDYNAMIC_EXECUTION=0 -sEXPORTED_RUNTIME_METHODS=allocateUTF8,UTF8ToString
            -sEXPORTED_FUNCTIONS=${exports},_malloc,_free --no-entry
            -o ${W_OUTPUT}.js
    COMMAND gzip --best --no-name --keep --force ${W_OUTPUT}.wasm
    DEPENDS ${objects}
    COMMENT "Linking ${target}" VERBATIM)
  add_custom_target(${target} DEPENDS ${W_OUTPUT}.js ${W_OUTPUT}.wasm ${W_OUTPUT}.wasm.gz)
endfunction()
