#!/bin/bash
# Before a release: tests/release/check.sh BUILD. The packages are built twice in different folders and must
# be the same bytes, so must program and library of a plain build; lintian must have nothing to say; then the
# packages are installed with apt in a bare Debian, the demo is run, and everything is removed again; at last
# README is followed there, from a copy of the sources on. Needs root, the network and `make deps-release`.
# Prints TAP. MIRROR and SUITE name another Debian.
cd "$(dirname "$0")/../.." || exit 1
build=$(realpath -m "$1")
mirror=${MIRROR:-http://deb.debian.org/debian}
suite=${SUITE:-bookworm}
work=$(mktemp -d) || exit 1
chroot=$work/debian
count=0
failed=0

leave()
{
	umount "$chroot/proc" 2>"$work/err"
	mountpoint -q "$chroot/proc" || rm -rf "$work"
}
trap leave EXIT

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
	[ $status -eq 0 ] || tail -20 "$work/log" | sed 's/^/# /'
	verdict $status "$1"
}

finish()
{
	echo "1..$count"
	exit $failed
}

[ "$(id -u)" -eq 0 ]
verdict $? "this is root"
for tool in debootstrap lintian dpkg-buildpackage dh; do
	command -v $tool >"$work/out"
	verdict $? "there is $tool"
done
[ $failed -eq 0 ] || { echo "# 'make deps-release' installs what is missing"; finish; }

# The same bytes, wherever it is built.
try "the packages are built" tests/release/deb.sh "$build/deb"
try "and again in another folder" tests/release/deb.sh "$work/elsewhere"
[ $failed -eq 0 ] || finish
for deb in "$build"/deb/*.deb; do
	try "$(basename "$deb") is the same bytes again" cmp "$deb" "$work/elsewhere/$(basename "$deb")"
done
mkdir "$work/copy"
cp -R Makefile src include docs fixtures LICENSE README.md "$work/copy"
plain_make() # FOLDER
{
	env -u MAKEFLAGS -u MAKELEVEL make -s -C "$1" -j"$(nproc)" BUILD=plain all
}
mkdir "$work/second"
cp -R "$work/copy" "$work/second/another-name"
try "a plain build" plain_make "$work/copy"
try "and again in another folder" plain_make "$work/second/another-name"
for file in farend libfarend.a; do
	try "$file is the same bytes again" cmp "$work/copy/plain/$file" "$work/second/another-name/plain/$file"
done
try "lintian has nothing to say" lintian --fail-on error,warning --tag-display-limit 0 "$build"/deb/*.deb

# A bare Debian.
try "debootstrap" debootstrap --variant=minbase "$suite" "$chroot" "$mirror"
[ $failed -eq 0 ] || finish
try "/proc" mount -t proc proc "$chroot/proc"
cp "$build"/deb/*.deb "$chroot/root"
inside() # COMMAND
{
	chroot "$chroot" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LC_ALL=C.UTF-8 \
		DEBIAN_FRONTEND=noninteractive sh -ec "$1"
}
listing() # NAME: files that are there, but for what apt and dpkg keep for themselves
{
	inside 'find / -xdev -path /proc -prune -o ! -type d -print' | LC_ALL=C sort |
		grep -vE '^/var/(lib/(apt|dpkg)|cache|log)/|^/etc/ld.so.cache$|^/root/' >"$work/$1"
}
# The image leaves out manual pages on some machines; none of ours may be among them.
inside 'rm -f /etc/dpkg/dpkg.cfg.d/*exclude* /etc/dpkg/dpkg.cfg.d/docker*' >"$work/log" 2>&1
try "apt-get update" inside 'apt-get update'
listing before
try "apt installs farend" inside 'apt-get install -y --no-install-recommends /root/farend_*.deb'
try "it runs" inside 'farend --version && cd /usr/share/doc/farend/examples/jobs &&
	{ farend check boot-room.yaml; [ $? -le 1 ]; } && farend check boot-room-fixed.yaml &&
	{ farend order boot-room-parts.yaml; [ $? -le 1 ]; }'
try "a new job checks clean" inside 'cd /tmp && farend new -o job.yaml && farend check job.yaml && rm job.yaml'
try "manual page, schema and completions are there" inside 'cd /usr/share && zcat man/man1/farend.1.gz | grep -q "^.Dt FAREND 1" &&
	test -s farend/job.schema.json -a -s bash-completion/completions/farend -a \
		-s zsh/vendor-completions/_farend -a -s fish/vendor_completions.d/farend.fish'
try "every file is as the package says" inside 'test -z "$(dpkg --verify farend)"'
try "farend is purged" inside 'apt-get purge -y --autoremove farend'
listing after
try "nothing is left" diff "$work/before" "$work/after"
try "apt installs libfarend-dev with a compiler" inside \
	'apt-get install -y --no-install-recommends /root/libfarend-dev_*.deb gcc libc6-dev pkg-config'
{
	printf '#include <farend.h>\n#include <stdio.h>\nint main(void)\n{\n'
	sed -n 's/^ \*     //p' include/farend.h
	printf '\treturn 0;\n}\n'
} >"$chroot/root/example.c"
cp fixtures/jobs/boot-room.yaml "$chroot/root/job.yaml"
try "the example of farend.h compiles and runs there" inside 'cd /root &&
	cc -o example $(pkg-config --cflags farend) example.c $(pkg-config --libs farend) && ./example | grep -q boot-room\\\|verdict'
try "libfarend-dev is purged" inside 'apt-get purge -y libfarend-dev && test ! -e /usr/include/farend.h &&
	test -z "$(find /usr -name "*farend*")"'

# As README says, by a newcomer: what it prints is typed, without the sudo that is not there.
mkdir "$chroot/root/farend"
cp -R Makefile README.md DEVELOPERS.md LICENSE src include docs fixtures tests "$chroot/root/farend"
block() # NUMBER: of the plain blocks of README
{
	awk -v wanted="$1" '/^```/ { open = !open; plain = $0 == "```"; n += open && plain; next }
		open && plain && n == wanted' README.md
}
set_up=$(block 1 | sed 's/sudo //g')
try "README sets it up and shows the demo" inside "cd /root/farend && $set_up | grep '^Dimmest point: 78 %'"
first=$(block 3)
try "and makes the first job" inside "cd /root/farend
	{ $first
	} <fixtures/cases/new-ask/answers && test -s my-job.yaml -a -s report.html"
try "make install" inside 'cd /root/farend && make install && /usr/local/bin/farend version'
try "every link of the installed manual is alive" inside 'cd /usr/local/share/doc/farend
	for page in README.md docs/*.md; do
		for target in $(grep -o "]([^) ]*)" "$page" | sed "s/^](//; s/[#)].*//"); do
			test -e "$(dirname "$page")/$target" || { echo "$page: $target"; exit 1; }
		done
	done'
try "and uninstall" inside 'cd /root/farend && make uninstall && test -z "$(find /usr/local -name "*farend*")"'
umount "$chroot/proc"
verdict $? "/proc is let go"
finish
