# cmake --install: library, headers, executable, models, scenarios, man page, completion.
include(CMakePackageConfigHelpers)

install(TARGETS damper EXPORT damperTargets
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR}
        INCLUDES DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
install(TARGETS damper_command RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(DIRECTORY libdamper DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}
        FILES_MATCHING PATTERN "*.hpp"
        PATTERN "detail" EXCLUDE)
install(DIRECTORY models scenarios DESTINATION ${CMAKE_INSTALL_DATADIR}/damper
        FILES_MATCHING PATTERN "*.toml" PATTERN "*.csv")
install(FILES tools/damper/damper.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES tools/damper/damper.bash
        DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME damper)
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR})

set(damper_config ${CMAKE_INSTALL_LIBDIR}/cmake/damper)
install(EXPORT damperTargets NAMESPACE damper:: DESTINATION ${damper_config})
configure_package_config_file(tools/cmake/damperConfig.cmake.in
  ${PROJECT_BINARY_DIR}/damperConfig.cmake INSTALL_DESTINATION ${damper_config})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/damperConfigVersion.cmake
  COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/damperConfig.cmake
              ${PROJECT_BINARY_DIR}/damperConfigVersion.cmake
        DESTINATION ${damper_config})
