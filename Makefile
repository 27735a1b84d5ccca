# make [VARIANT=release|debug|san|cov|test|fuzz] [all|test|demo|san|valgrind|analyse|cov|uncovered|fuzz|
#       fuzz-long|fuzz-cov|mutate|bench|layers|clean|install|uninstall|deb|release-check]
#
# `make` leaves the program at build/farend and the library at build/libfarend.a. The other variants
# keep theirs in build/<variant>/. CPPFLAGS, CFLAGS, LDFLAGS and LDLIBS of the caller come last and win.

VARIANT ?= release
PREFIX  ?= /usr/local
DESTDIR ?=
BINDIR     = $(PREFIX)/bin
LIBDIR     = $(PREFIX)/lib
INCLUDEDIR = $(PREFIX)/include
DOCDIR     = $(PREFIX)/share/doc/farend
MANDIR     = $(PREFIX)/share/man
SCHEMADIR  = $(PREFIX)/share/farend
PCDIR      = $(LIBDIR)/pkgconfig
BASHDIR    = $(PREFIX)/share/bash-completion/completions
ZSHDIR     = $(PREFIX)/share/zsh/site-functions
FISHDIR    = $(PREFIX)/share/fish/vendor_completions.d

# Warnings are errors in the tests and in CI only: a newer compiler must not stop a user's build.
WERROR ?= $(if $(filter test san cov valgrind,$(MAKECMDGOALS)),1)

STD  := -std=c11 -D_POSIX_C_SOURCE=200809L
WARN := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes -Wmissing-prototypes \
        -Wwrite-strings -Wundef -Wvla -Wformat=2 $(if $(filter 1,$(WERROR)),-Werror)
# No fused multiply-add behind our back: every compiler and machine gives the same digits.
MATH := -ffp-contract=off

# FAREND_FAULTS compiles in arena_fail_after(), with which the tests take memory away; FAREND_PLAIN_MEMORY
# keeps every block apart for the sanitizers.
FLAGS_release := -O2
FLAGS_debug   := -O0 -g3 -DFAREND_FAULTS
FLAGS_test    := -O1 -g -DFAREND_FAULTS
FLAGS_san     := -O1 -g -fno-omit-frame-pointer -fsanitize=address,undefined \
                 -fno-sanitize-recover=all -DFAREND_FAULTS -DFAREND_PLAIN_MEMORY
FLAGS_cov     := -O0 -g --coverage -DFAREND_FAULTS
FLAGS_fuzz    := -O1 -g -fno-omit-frame-pointer -fsanitize=fuzzer-no-link,address,undefined \
                 -fno-sanitize-recover=all -DFAREND_PLAIN_MEMORY
ifeq ($(FLAGS_$(VARIANT)),)
$(error VARIANT must be release, debug, test, san, cov or fuzz)
endif

# Where everything goes; V=1 shows the commands.
BUILD ?= build
B     := $(BUILD)/$(VARIANT)
OUT   := $(if $(filter release,$(VARIANT)),$(BUILD),$(B))
Q     := $(if $(V),,@)
COMMA := ,

CLI_SRC   := $(sort $(wildcard src/cli/*.c))
LIB_SRC   := $(filter-out $(CLI_SRC),$(sort $(wildcard src/*/*.c)))
HEADERS   := $(sort $(wildcard src/*/*.h include/*.h))
# Test programs have a main; what lies beside them is shared by them.
TEST_ALL  := $(sort $(wildcard tests/*.c tests/unit/*.c tests/oracle/*.c))
TEST_SRC  := $(sort $(if $(TEST_ALL),$(shell grep -l '^int main' $(TEST_ALL))))
SHARE_SRC := $(filter-out $(TEST_SRC),$(TEST_ALL))
CLI_OBJ   := $(CLI_SRC:%.c=$(B)/%.o)
LIB_OBJ   := $(LIB_SRC:%.c=$(B)/%.o)
TEST_OBJ  := $(TEST_SRC:%.c=$(B)/%.o)
TEST_BIN  := $(TEST_SRC:%.c=$(B)/%)
SHARE_OBJ := $(SHARE_SRC:%.c=$(B)/%.o)
# Entries of libFuzzer, and a main that feeds kept files to one of them in any variant.
ENTRIES   := $(patsubst tests/fuzz/fuzz_%.c,%,$(sort $(wildcard tests/fuzz/fuzz_*.c)))
FUZZ_OBJ  := $(ENTRIES:%=$(B)/tests/fuzz/fuzz_%.o)
FUZZERS   := $(ENTRIES:%=$(B)/fuzz_%)
REPLAYS   := $(ENTRIES:%=$(B)/replay_%)

# Shell tests, in the order in which they run. They use $FAREND, or build/farend.
TEST_SCRIPTS := $(wildcard tests/ask.sh tests/bad.sh tests/cases.sh tests/cli.sh tests/docs.sh tests/failure.sh tests/limits.sh tests/locale.sh \
                tests/safe.sh tests/schema.sh tests/completion.sh \
                tests/manual.py tests/scale.sh)

LIBS      := -lyaml -lcsv -lklu -lbtf -lamd -lcolamd -lsuitesparseconfig -lm
TEST_LIBS := -Wl,--as-needed -lcmocka -ljansson -lglpk

COMPILE = $(CC) $(STD) -Iinclude -Isrc $(INCLUDES) -MMD -MP $(WARN) $(MATH) $(FLAGS_$(VARIANT)) \
          $(CPPFLAGS) $(CFLAGS)
LINK    = $(CC) $(FLAGS_$(VARIANT)) $(CFLAGS) $(LDFLAGS)

# The program needs no shared library where static ones are installed, as they are on Debian: finding and
# binding nine of them takes longer than checking a small job. `make STATIC=` links the usual way.
STATIC ?= $(if $(filter release,$(VARIANT)),$(shell echo 'int main(void) { return 0; }' | \
          $(LINK) -static -x c -o /dev/null - $(LIBS) 2>/dev/null && echo -static))

all: $(OUT)/farend $(OUT)/libfarend.a

$(OUT)/farend: $(CLI_OBJ) $(OUT)/libfarend.a
	@echo "  LINK $@"
	$(Q)$(LINK) $(STATIC) -o $@ $^ $(LIBS) $(LDLIBS)

$(OUT)/libfarend.a: $(LIB_OBJ)
	@mkdir -p $(@D)
	@rm -f $@
	@echo "  AR   $@"
	$(Q)$(AR) rcs $@ $^

$(TEST_OBJ) $(SHARE_OBJ): INCLUDES := -I. -Itests

$(B)/libshare.a: $(SHARE_OBJ)
	@mkdir -p $(@D)
	@rm -f $@
	@echo "  AR   $@"
	$(Q)$(AR) rcs $@ $^

$(TEST_BIN): $(B)/%: $(B)/%.o $(B)/libshare.a $(OUT)/libfarend.a
	@echo "  LINK $@"
	$(Q)$(LINK) $(WRAP) -o $@ $^ $(TEST_LIBS) $(STATIC_LIBS) $(LIBS) $(LDLIBS)

# This one takes memory away from the other libraries too, whose calls of malloc the linker sees only where
# they are linked statically.
$(B)/tests/unit/test_failure: WRAP := $(addprefix -Wl$(COMMA)--wrap=,malloc calloc realloc fsync)
$(B)/tests/unit/test_failure: STATIC_LIBS = $(if $(shell $(CC) -print-file-name=libyaml.a | grep /),-Wl$(COMMA)-Bstatic \
        $(filter-out -lm,$(LIBS)) -Wl$(COMMA)-Bdynamic)

$(B)/%.o: %.c Makefile
	@mkdir -p $(@D)
	@echo "  CC   $@"
	$(Q)$(COMPILE) -c -o $@ $<

$(FUZZERS): $(B)/fuzz_%: $(B)/tests/fuzz/fuzz_%.o $(OUT)/libfarend.a
	@echo "  LINK $@"
	$(Q)$(LINK) -fsanitize=fuzzer -o $@ $^ $(LIBS) $(LDLIBS)

$(REPLAYS): $(B)/replay_%: $(B)/tests/fuzz/fuzz_%.o $(B)/tests/fuzz/replay.o $(OUT)/libfarend.a
	@echo "  LINK $@"
	$(Q)$(LINK) -o $@ $^ $(LIBS) $(LDLIBS)

tests: $(TEST_BIN)
fuzzers: $(FUZZERS)
replays: $(REPLAYS)

# Sub-makes use every processor unless the caller said how many.
PARALLEL = $(if $(findstring jobserver,$(MAKEFLAGS)),,-j$(shell nproc))
SUBMAKE  = +@$(MAKE) --no-print-directory $(PARALLEL) BUILD=$(BUILD) WERROR=$(WERROR)

# What the build needs, on Debian and Ubuntu; the tests of the library, the analysers and fuzzing on top; the tests
# of the pages, which is a browser; of schema, manual page, completions and installing; and a release.
DEPS := gcc make libc6-dev libyaml-dev libcsv-dev libsuitesparse-dev
DEPS_LIBRARY := clang libcmocka-dev libjansson-dev libglpk-dev ngspice valgrind cppcheck clang-tidy
DEPS_BROWSER := chromium poppler-utils libxml2-utils fonts-dejavu-core \
                $(if $(shell command -v npm),,nodejs npm)
DEPS_TEST := python3-jsonschema python3-yaml mandoc zsh fish pkg-config g++ locales
DEPS_RELEASE := dpkg-dev debhelper lintian debootstrap
ASROOT := $(if $(filter 0,$(shell id -u)),,sudo)
deps:
	$(ASROOT) apt-get update
	$(ASROOT) env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends \
		$(DEPS)

deps-test: deps
	$(ASROOT) env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends \
		$(DEPS_LIBRARY) $(DEPS_BROWSER) $(DEPS_TEST)
	cd tests/browser && npm ci --ignore-scripts --no-audit --no-fund

deps-release: deps-test
	$(ASROOT) env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends \
		$(DEPS_RELEASE)

demo: all
	@$(OUT)/farend check fixtures/jobs/boot-room.yaml || [ $$? -eq 1 ]

# The program as users get it for the shell tests, and a library that can run out of memory on demand
# for the others.
test: layers
	$(SUBMAKE) VARIANT=release all
	$(SUBMAKE) VARIANT=test tests
	@FAREND=$(BUILD)/farend tests/run.sh $(TEST_SRC:%.c=$(BUILD)/test/%) $(TEST_SCRIPTS) \
		tests/browser.sh tests/install.sh

san:
	$(SUBMAKE) VARIANT=san all tests replays
	@FAREND=$(BUILD)/san/farend tests/run.sh $(TEST_SRC:%.c=$(BUILD)/san/%) $(TEST_SCRIPTS)
	@REPLAY=$(BUILD)/san tests/run.sh tests/fuzz/corpus.sh

# The unit tests, the golden cases of the command and every kept input. What is not freed counts as a failure.
VALGRIND := valgrind -q --error-exitcode=99 --leak-check=full --show-leak-kinds=all
UNIT_SRC := $(filter tests/unit/%,$(TEST_SRC))
valgrind:
	$(SUBMAKE) VARIANT=test all tests replays
	@printf '#!/bin/sh\nexec %s "$$@"\n' '$(VALGRIND) $(abspath $(BUILD))/test/farend' >$(BUILD)/farend-valgrind
	@chmod +x $(BUILD)/farend-valgrind
	@RUNNER="$(VALGRIND)" tests/run.sh $(UNIT_SRC:%.c=$(BUILD)/test/%)
	@FAREND=$(BUILD)/farend-valgrind UNDER="$(VALGRIND)" REPLAY=$(BUILD)/test tests/run.sh tests/cases.sh tests/fuzz/corpus.sh

cov:
	$(SUBMAKE) VARIANT=cov all tests
	@FAREND=$(BUILD)/cov/farend tests/run.sh $(TEST_SRC:%.c=$(BUILD)/cov/%) $(TEST_SCRIPTS)
	@tests/coverage.sh $(BUILD)/cov files $(LIB_SRC) $(CLI_SRC)

# After `make cov`: the lines that no test reaches.
uncovered:
	@tests/coverage.sh $(BUILD)/cov list $(LIB_SRC) $(CLI_SRC)

# Static analysis. One compiler run per file, as many at once as there are processors. What clang-tidy does not
# look for is in .clang-tidy. cppcheck takes a row of a table passed by value for a part of the copy; rows are static.
EACH = printf '%s\n' $(LIB_SRC) $(CLI_SRC) | xargs -P $$(nproc) -I FILE
analyse:
	$(EACH) gcc $(STD) -Iinclude -Isrc $(WARN) $(MATH) -O2 -fanalyzer -Werror -c -o /dev/null FILE
	cppcheck --quiet --std=c11 --enable=warning,performance,portability --inline-suppr \
		--suppress=returnDanglingLifetime:src/model/attribute.c --error-exitcode=1 -j $$(nproc) -Iinclude -Isrc src
	$(EACH) clang-tidy --quiet FILE -- $(STD) -Iinclude -Isrc

# Coverage-guided, from the fixtures and fixtures/corpus as seeds: FUZZ_SECONDS shared by the entries, or 3 hours
# of processor time by all processors. New inputs stay in build/fuzz/corpus, what was found in build/fuzz/found.
FUZZ_SECONDS ?= 60
FUZZ_HOURS   ?= 3
fuzz:
	$(SUBMAKE) CC=clang VARIANT=fuzz fuzzers
	tests/fuzz/run.sh $(BUILD)/fuzz $(FUZZ_SECONDS) 1 $(ENTRIES)

fuzz-long:
	$(SUBMAKE) CC=clang VARIANT=fuzz fuzzers
	tests/fuzz/run.sh $(BUILD)/fuzz $$(($(FUZZ_HOURS) * 3600 / $$(nproc))) $$(nproc) $(ENTRIES)

# Lines of the layers that take foreign bytes that no kept input reaches.
fuzz-cov:
	@rm -rf $(BUILD)/corpus/cov/src
	+@$(MAKE) --no-print-directory $(PARALLEL) BUILD=$(BUILD)/corpus VARIANT=cov replays
	@REPLAY=$(BUILD)/corpus/cov tests/run.sh tests/fuzz/corpus.sh
	@tests/coverage.sh $(BUILD)/corpus/cov list $(filter src/load/% src/quantity/% src/api/%,$(LIB_SRC))

# Whether the tests notice a wrong operator or constant in the solver and the checks: a check before a release.
MUTANTS ?= 60
mutate:
	tests/mutate.sh $(BUILD)/mutate $(MUTANTS)

bench: all
	tests/bench/run.sh

layers:
	@awk -f tests/layers.awk $(LIB_SRC) $(CLI_SRC) $(HEADERS)

VERSION  := $(shell sed -n 's/^.define FAREND_VERSION "\(.*\)"/\1/p' src/report/version.h)
EXAMPLES := $(wildcard fixtures/jobs/boot-room*.yaml)
PARTS    := $(wildcard fixtures/parts/*.csv)
BUILT    := $(wildcard fixtures/built/boot-room*.csv)
DOCS     := $(wildcard docs/*.md)

# Paths where they are put, blanks and all.
under = $(foreach path,$(1),"$(DESTDIR)$(path)")

# The example with a catalogue names ../parts, so that folders are as in fixtures.
install: all
	install -d $(call under,$(BINDIR) $(LIBDIR) $(INCLUDEDIR) $(PCDIR) $(SCHEMADIR) $(MANDIR)/man1 \
		$(BASHDIR) $(ZSHDIR) $(FISHDIR) $(DOCDIR)/docs $(DOCDIR)/examples/jobs $(DOCDIR)/examples/parts \
		$(DOCDIR)/examples/built)
	install -m 755 $(OUT)/farend "$(DESTDIR)$(BINDIR)/farend"
	install -m 644 $(OUT)/libfarend.a "$(DESTDIR)$(LIBDIR)/libfarend.a"
	install -m 644 include/farend.h "$(DESTDIR)$(INCLUDEDIR)/farend.h"
	sed -e 's|@PREFIX@|$(PREFIX)|' -e 's|@LIBDIR@|$(LIBDIR)|' -e 's|@INCLUDEDIR@|$(INCLUDEDIR)|' \
		-e 's|@VERSION@|$(VERSION)|' -e 's|@LIBS@|$(LIBS)|' docs/farend.pc.in \
		>"$(DESTDIR)$(PCDIR)/farend.pc"
	install -m 644 docs/farend.1 "$(DESTDIR)$(MANDIR)/man1/farend.1"
	install -m 644 LICENSE README.md "$(DESTDIR)$(DOCDIR)"
	install -m 644 $(DOCS) "$(DESTDIR)$(DOCDIR)/docs"
	install -m 644 $(EXAMPLES) "$(DESTDIR)$(DOCDIR)/examples/jobs"
	install -m 644 $(PARTS) "$(DESTDIR)$(DOCDIR)/examples/parts"
	install -m 644 $(BUILT) "$(DESTDIR)$(DOCDIR)/examples/built"
	$(OUT)/farend explain --schema -o "$(DESTDIR)$(SCHEMADIR)/job.schema.json"
	$(OUT)/farend help --completion bash -o "$(DESTDIR)$(BASHDIR)/farend"
	$(OUT)/farend help --completion zsh -o "$(DESTDIR)$(ZSHDIR)/_farend"
	$(OUT)/farend help --completion fish -o "$(DESTDIR)$(FISHDIR)/farend.fish"
	chmod 644 $(call under,$(PCDIR)/farend.pc $(SCHEMADIR)/job.schema.json \
		$(BASHDIR)/farend $(ZSHDIR)/_farend $(FISHDIR)/farend.fish)

# Folders that others use too are left, empty or not.
uninstall:
	rm -f $(call under,$(BINDIR)/farend $(LIBDIR)/libfarend.a $(INCLUDEDIR)/farend.h $(PCDIR)/farend.pc \
		$(MANDIR)/man1/farend.1 $(BASHDIR)/farend $(ZSHDIR)/_farend $(FISHDIR)/farend.fish)
	rm -rf "$(DESTDIR)$(DOCDIR)" "$(DESTDIR)$(SCHEMADIR)"

# build/deb/*.deb; the second also in a bare Debian, as root and with the network.
deb:
	tests/release/deb.sh $(BUILD)/deb

release-check:
	tests/release/check.sh $(BUILD)

clean:
	rm -rf $(BUILD)

.PHONY: all tests fuzzers replays deps deps-test demo test san valgrind cov uncovered analyse fuzz fuzz-long fuzz-cov \
        mutate bench layers install clean uninstall deb release-check deps-release
.DELETE_ON_ERROR:
.SECONDARY:
-include $(CLI_OBJ:.o=.d) $(LIB_OBJ:.o=.d) $(TEST_OBJ:.o=.d) $(SHARE_OBJ:.o=.d) $(FUZZ_OBJ:.o=.d)
