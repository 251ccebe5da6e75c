# A room is a folder of libdamper with one purpose. It may use only rooms declared before it,
# so that a cycle cannot be written; the test `layers` compares the list with the includes.
#
#   damper_room(NAME USES room… LINK target…)
#
# Sources are all *.cpp of the folder. A room becomes an object library `damper_NAME`.

add_library(damper_flags INTERFACE)
target_compile_options(damper_flags INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wdouble-promotion
  -Wold-style-cast -Wnon-virtual-dtor
  -ffp-contract=off  # fused multiply-add would change results from one processor to the next
  -ffile-prefix-map=${PROJECT_SOURCE_DIR}=.)
if(DAMPER_WARNINGS_AS_ERRORS)
  target_compile_options(damper_flags INTERFACE -Werror)
endif()

function(damper_room name)
  cmake_parse_arguments(ROOM "" "" "USES;LINK" ${ARGN})
  get_property(rooms GLOBAL PROPERTY damper_rooms)
  foreach(used IN LISTS ROOM_USES)
    if(NOT used IN_LIST rooms)
      message(FATAL_ERROR "Room ${name} uses ${used}, which is not declared above it.")
    endif()
  endforeach()
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/${name}/*.cpp
       ${CMAKE_CURRENT_SOURCE_DIR}/${name}/*/*.cpp)
  if(sources)
    add_library(damper_${name} OBJECT ${sources})
    target_include_directories(damper_${name} PUBLIC $<BUILD_INTERFACE:${PROJECT_SOURCE_DIR}>)
    target_link_libraries(damper_${name} PRIVATE damper_flags)
    target_link_libraries(damper_${name} PUBLIC ${ROOM_LINK})
    set_property(GLOBAL APPEND PROPERTY damper_room_targets damper_${name})
  endif()
  set_property(GLOBAL APPEND PROPERTY damper_rooms ${name})
  list(JOIN ROOM_USES "," uses)
  set_property(GLOBAL APPEND PROPERTY damper_room_lines "${name}:${uses}")
endfunction()
