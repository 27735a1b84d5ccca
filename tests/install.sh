#!/bin/bash
# What `make install` leaves, whether a program can be built with it, and that `make uninstall` takes all of it
# away. `tests/install.sh --bless` writes the list of files anew. Needs pkg-config and g++ (`make deps-test`).
# Prints TAP.
cd "$(dirname "$0")/.." || exit 1
build=$(dirname "$(realpath "${FAREND:-build/farend}")")
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
root="$work/a root"
count=0
failed=0

verdict() # RESULT NAME
{
	count=$((count + 1))
	if [ "$1" -eq 0 ]; then
		echo "ok $count - $2"
	else
		echo "not ok $count - $2"
		failed=1
	fi
}

# Runs a command whose words are shown where it fails.
try() # NAME COMMAND...
{
	"${@:2}" >"$work/log" 2>&1
	local status=$?
	[ $status -eq 0 ] || sed 's/^/# /' "$work/log" | tail -20
	verdict $status "$1"
}

# By its way from here: make takes a blank in the name of a folder above for the end of a target.
quiet_make() # WORDS...
{
	env -u MAKEFLAGS -u MAKELEVEL make -s BUILD="$(realpath --relative-to=. "$build")" PREFIX=/usr DESTDIR="$root" "$@"
}

try "make install" quiet_make install
mkdir -p "$root"
(cd "$root" && find . -type f -o -type l | sed 's/^\.//' | LC_ALL=C sort | while read -r name; do
	echo "$(stat -c %a ".$name") $name"
done) >"$work/files"
# Pages of the manual come and go: all of docs has to be there, and nothing else.
grep -v '/doc/farend/docs/' "$work/files" >"$work/named"
[ "$1" != --bless ] || cp "$work/named" tests/install/files.txt
try "the files are those of tests/install/files.txt" diff tests/install/files.txt "$work/named"
(cd docs && ls -- *.md) >"$work/pages"
try "every page of docs is there" diff "$work/pages" <(ls "$root/usr/share/doc/farend/docs")
try "the installed program is the one that was built" cmp "$build/farend" "$root/usr/bin/farend"
try "the installed schema is what the program writes" sh -c \
	"'$root/usr/bin/farend' explain --schema | cmp - '$root/usr/share/farend/job.schema.json'"

# The examples of the package, from where they lie.
for job in "$root"/usr/share/doc/farend/examples/jobs/*.yaml; do
	"$root/usr/bin/farend" check "$job" >"$work/out" 2>"$work/err"
	[ $? -le 1 ] && [ -s "$work/out" ] && [ ! -s "$work/err" ]
	verdict $? "the example $(basename "$job") can be read where it is installed"
done

# A program of somebody else's: the example in farend.h, compiled with nothing but what is installed.
ln -s "$root" "$work/root"      # flags are split at blanks
export PKG_CONFIG_LIBDIR=$work/root/usr/lib/pkgconfig PKG_CONFIG_SYSROOT_DIR=$work/root
version=$(sed -n 's/^#define FAREND_VERSION "\(.*\)"/\1/p' src/report/version.h)
[ -n "$version" ] && [ "$(pkg-config --modversion farend)" = "$version" ]
verdict $? "pkg-config knows version $version"
{
	printf '#include <farend.h>\n#include <stdio.h>\nint main(void)\n{\n'
	sed -n 's/^ \*     //p' include/farend.h
	printf '\treturn 0;\n}\n'
} >"$work/example.c"
try "there is an example in farend.h" grep -q farend_read "$work/example.c"
cp fixtures/jobs/boot-room.yaml "$work/job.yaml"
"$build/farend" check --format json "$work/job.yaml" >"$work/wanted.json"
[ -s "$work/wanted.json" ]
verdict $? "the command prints JSON"
for compiler in "cc -std=c11" "c++ -x c++" "c++ -x c++ --static-flag"; do
	static=
	case $compiler in *--static-flag) static=--static; compiler=${compiler% --static-flag} ;; esac
	language=${compiler%% *}${static:+ with pkg-config --static}
	# shellcheck disable=SC2046,SC2086
	try "the example compiles with $language" $compiler -Wall -Wextra -Werror -o "$work/example" \
		$(pkg-config --cflags farend) "$work/example.c" -x none $(pkg-config --libs $static farend)
	(cd "$work" && ./example) >"$work/got.json" 2>"$work/err"
	try "and prints what the command prints" cmp "$work/wanted.json" "$work/got.json"
	rm -f "$work/example"
done

try "make uninstall" quiet_make uninstall
[ -z "$(find "$root" -type f)" ] && [ ! -d "$root/usr/share/doc/farend" ]
verdict $? "nothing is left"
[ "$(sed -n '1s/^farend (\(.*\)) .*/\1/p' docs/debian/changelog)" = "$version" ]
verdict $? "the changelog of the package begins with version $version"
echo "1..$count"
[ $failed -eq 0 ]
