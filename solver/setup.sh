#!/bin/sh
# Installs what building HiGHS needs: a C++ compiler, CMake and libclang.
# Silent where all three are there already. Knows apt, dnf and Homebrew.
set -eu

have_compiler() { command -v c++ >/dev/null 2>&1 || command -v g++ >/dev/null 2>&1 || command -v clang++ >/dev/null 2>&1; }
have_cmake() { command -v cmake >/dev/null 2>&1; }
have_libclang() {
    [ -n "${LIBCLANG_PATH:-}" ] && return 0
    for found in /usr/lib/llvm*/lib/libclang.so* /usr/lib/llvm*/lib/libclang-[0-9]*.so* \
        /usr/lib64/libclang.so* /usr/lib64/llvm*/lib*/libclang.so* /usr/lib/*/libclang*.so.1 \
        /usr/lib/*/libclang-[0-9]*.so* /opt/homebrew/opt/llvm/lib/libclang.dylib \
        /usr/local/opt/llvm/lib/libclang.dylib \
        /Library/Developer/CommandLineTools/usr/lib/libclang.dylib \
        /Applications/Xcode.app/Contents/Developer/Toolchains/XcodeDefault.xctoolchain/usr/lib/libclang.dylib; do
        [ -e "$found" ] && return 0
    done
    return 1
}

have_compiler && have_cmake && have_libclang && exit 0

as_root() {
    if [ "$(id -u)" -eq 0 ]; then "$@"
    elif command -v sudo >/dev/null 2>&1; then sudo "$@"
    else
        echo "setup: need root (or sudo) to install a C++ compiler, CMake and libclang" >&2
        exit 1
    fi
}

echo "setup: installing a C++ compiler, CMake and libclang" >&2
if command -v apt-get >/dev/null 2>&1; then
    as_root apt-get update -qq >/dev/null
    as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
        g++ make cmake libclang-dev >/dev/null
elif command -v dnf >/dev/null 2>&1; then
    as_root dnf install -y -q gcc-c++ make cmake clang-devel >/dev/null
elif command -v brew >/dev/null 2>&1; then
    have_cmake || brew install --quiet cmake
    have_libclang || brew install --quiet llvm
else
    echo "setup: install a C++ compiler, CMake and libclang, then run this again" >&2
    exit 1
fi

have_compiler && have_cmake && have_libclang && exit 0
echo "setup: a C++ compiler, CMake or libclang is still missing" >&2
exit 1
