#!/bin/bash
# Builds the Debian packages into a folder: tests/release/deb.sh FOLDER. The sources are copied, with
# docs/debian as debian/, so that nothing is left here. Needs `make deps-release`.
set -eu
cd "$(dirname "$0")/../.."
mkdir -p "$1"
out=$(realpath "$1")
rm -rf "$out/source"
mkdir -p "$out/source/farend"
cp -R Makefile LICENSE README.md src include docs fixtures "$out/source/farend"
mv "$out/source/farend/docs/debian" "$out/source/farend/debian"
cd "$out/source/farend"
# A make that runs this has its own options and its own folder for the build.
env -u MAKEFLAGS -u MAKELEVEL -u BUILD DEB_BUILD_OPTIONS="parallel=$(nproc) noautodbgsym" \
	dpkg-buildpackage --build=binary --no-sign >"$out/build.log" 2>&1 ||
	{ tail -30 "$out/build.log"; exit 1; }
rm -f "$out"/*.deb
mv ../*.deb "$out"
rm -rf "$out/source"
ls "$out"/*.deb
