# Sourced: the Debian packages that each job needs.
build_packages=(g++ cmake ninja-build pkg-config libcli11-dev libeigen3-dev libfmt-dev nlohmann-json3-dev nettle-dev)
test_packages=("${build_packages[@]}" doctest-dev python3 python3-numpy python3-scipy python3-mne python3-jsonschema
    libedf-dev chromium poppler-utils fonts-dejavu-core strace valgrind parallel slurmctld slurmd slurm-client munge jq miller
    mandoc bsdextrautils fish zsh cmark-gfm)
command -v npm >/dev/null || test_packages+=(npm)  # a node from elsewhere brings its own
bench_packages=("${build_packages[@]}" doctest-dev libbenchmark-dev hyperfine python3 python3-numpy python3-scipy python3-pandas python3-mne)
lint_packages=("${build_packages[@]}" doctest-dev clang-tidy clang-format)
package_packages=("${build_packages[@]}" file binutils dpkg-dev devscripts lintian mandoc)
fuzz_packages=("${build_packages[@]}" clang-19 libclang-rt-19-dev doctest-dev)
coverage_packages=("${fuzz_packages[@]}" llvm-19)
