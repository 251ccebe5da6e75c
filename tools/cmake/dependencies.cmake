# What the library and the command line stand on; all from Debian 12.
find_package(Eigen3 3.4 REQUIRED)
find_package(Boost 1.74 REQUIRED)
find_package(fmt 9 REQUIRED)
find_package(tomlplusplus 3.3 REQUIRED)  # the shared library: the header-only build aborts on "[="
find_package(CLI11 2.1 REQUIRED)
find_package(nlohmann_json 3.11 REQUIRED)
find_package(Threads REQUIRED)
find_package(NLopt 2.7 REQUIRED NAMES NLopt)

set(HDF5_PREFER_PARALLEL OFF)
find_package(HDF5 1.10 REQUIRED COMPONENTS C HL)
if(HDF5_IS_PARALLEL)
  message(FATAL_ERROR "The serial HDF5 is needed: apt-get install libhdf5-dev")
endif()

if(DAMPER_MPI)
  find_package(MPI REQUIRED COMPONENTS CXX)
endif()
