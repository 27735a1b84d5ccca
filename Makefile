# make [VARIANT=release|debug|san|cov|test] [all|test|demo|san|valgrind|analyse|fuzz|bench|layers|install|clean]
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

# Warnings are errors in the tests and in CI only: a newer compiler must not stop a user's build.
WERROR ?= $(if $(filter test san cov valgrind,$(MAKECMDGOALS)),1)

STD  := -std=c11 -D_POSIX_C_SOURCE=200809L
WARN := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes -Wmissing-prototypes \
        -Wwrite-strings -Wundef -Wvla -Wformat=2 $(if $(filter 1,$(WERROR)),-Werror)
# No fused multiply-add behind our back: every compiler and machine gives the same digits.
MATH := -ffp-contract=off

# FAREND_FAULTS compiles in arena_fail_after(), with which the tests take memory away.
FLAGS_release := -O2
FLAGS_debug   := -O0 -g3 -DFAREND_FAULTS
FLAGS_test    := -O1 -g -DFAREND_FAULTS
FLAGS_san     := -O1 -g -fno-omit-frame-pointer -fsanitize=address,undefined \
                 -fno-sanitize-recover=all -DFAREND_FAULTS
FLAGS_cov     := -O0 -g --coverage -DFAREND_FAULTS
ifeq ($(FLAGS_$(VARIANT)),)
$(error VARIANT must be release, debug, test, san or cov)
endif

# Where everything goes; V=1 shows the commands.
BUILD ?= build
B     := $(BUILD)/$(VARIANT)
OUT   := $(if $(filter release,$(VARIANT)),$(BUILD),$(B))
Q     := $(if $(V),,@)

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

# Shell tests, in the order in which they run. They use $FAREND, or build/farend.
TEST_SCRIPTS := $(wildcard tests/bad.sh tests/cases.sh tests/cli.sh tests/docs.sh)

LIBS      := -lyaml -lcsv -lklu -lbtf -lamd -lcolamd -lsuitesparseconfig -lm
TEST_LIBS := -Wl,--as-needed -lcmocka -ljansson -lglpk

COMPILE = $(CC) $(STD) -Iinclude -Isrc $(INCLUDES) -MMD -MP $(WARN) $(MATH) $(FLAGS_$(VARIANT)) \
          $(CPPFLAGS) $(CFLAGS)
LINK    = $(CC) $(FLAGS_$(VARIANT)) $(CFLAGS) $(LDFLAGS)

all: $(OUT)/farend $(OUT)/libfarend.a

$(OUT)/farend: $(CLI_OBJ) $(OUT)/libfarend.a
	@echo "  LINK $@"
	$(Q)$(LINK) -o $@ $^ $(LIBS) $(LDLIBS)

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
	$(Q)$(LINK) -o $@ $^ $(TEST_LIBS) $(LIBS) $(LDLIBS)

$(B)/%.o: %.c Makefile
	@mkdir -p $(@D)
	@echo "  CC   $@"
	$(Q)$(COMPILE) -c -o $@ $<

tests: $(TEST_BIN)

# Sub-makes use every processor unless the caller said how many.
PARALLEL = $(if $(findstring jobserver,$(MAKEFLAGS)),,-j$(shell nproc))
SUBMAKE  = +@$(MAKE) --no-print-directory $(PARALLEL) BUILD=$(BUILD) WERROR=$(WERROR)

# What the build and the tests of the library need, on Debian and Ubuntu; and what the tests of the pages
# need on top, which is a browser.
DEPS := gcc make libyaml-dev libcsv-dev libsuitesparse-dev \
        clang libcmocka-dev libjansson-dev libglpk-dev ngspice valgrind cppcheck clang-tidy
DEPS_BROWSER := chromium poppler-utils libxml2-utils fonts-dejavu-core \
                $(if $(shell command -v npm),,nodejs npm)
ASROOT := $(if $(filter 0,$(shell id -u)),,sudo)
deps:
	$(ASROOT) apt-get update
	$(ASROOT) env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends \
		$(DEPS)

deps-test: deps
	$(ASROOT) env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends \
		$(DEPS_BROWSER)
	cd tests/browser && npm ci --ignore-scripts --no-audit --no-fund

demo: all
	@$(OUT)/farend check fixtures/jobs/boot-room.yaml || [ $$? -eq 1 ]

# The program as users get it for the shell tests, and a library that can run out of memory on demand
# for the others.
test: layers
	$(SUBMAKE) VARIANT=release all
	$(SUBMAKE) VARIANT=test tests
	@FAREND=$(BUILD)/farend tests/run.sh $(TEST_SRC:%.c=$(BUILD)/test/%) $(TEST_SCRIPTS) tests/browser.sh

san:
	$(SUBMAKE) VARIANT=san all tests
	@FAREND=$(BUILD)/san/farend tests/run.sh $(TEST_SRC:%.c=$(BUILD)/san/%) $(TEST_SCRIPTS)

VALGRIND := valgrind -q --error-exitcode=99 --leak-check=full --show-leak-kinds=all
UNIT_SRC := $(filter tests/unit/%,$(TEST_SRC))
valgrind:
	$(SUBMAKE) VARIANT=release all
	$(SUBMAKE) VARIANT=test tests
	@RUNNER="$(VALGRIND)" tests/run.sh $(UNIT_SRC:%.c=$(BUILD)/test/%)
	@for job in $(wildcard fixtures/jobs/*.yaml); do \
		$(VALGRIND) $(BUILD)/farend check $$job >$(BUILD)/valgrind.out; \
		[ $$? -le 3 ] || { echo "valgrind: $$job"; exit 1; }; \
	done

cov:
	$(SUBMAKE) VARIANT=cov all tests
	@FAREND=$(BUILD)/cov/farend tests/run.sh $(TEST_SRC:%.c=$(BUILD)/cov/%) $(TEST_SCRIPTS)
	@cd $(BUILD)/cov && gcov -n $(LIB_SRC:%.c=%.o) $(CLI_SRC:%.c=%.o) | tail -1

# Static analysis. One compiler run per file, as many at once as there are processors.
EACH = printf '%s\n' $(LIB_SRC) $(CLI_SRC) | xargs -P $$(nproc) -I FILE
analyse:
	$(EACH) gcc $(STD) -Iinclude -Isrc $(WARN) $(MATH) -O2 -fanalyzer -Werror -c -o /dev/null FILE
	cppcheck --quiet --std=c11 --enable=warning,performance,portability --inline-suppr \
		--suppress=returnDanglingLifetime --error-exitcode=1 -j $$(nproc) -Iinclude -Isrc src
	$(EACH) clang-tidy --quiet FILE -- $(STD) -Iinclude -Isrc

# Coverage-guided, from the fixtures as seeds, for FUZZ_SECONDS. New inputs stay in build/fuzz/corpus.
FUZZ_SECONDS ?= 60
FUZZ_FLAGS   := -O1 -g -fno-omit-frame-pointer -fsanitize=fuzzer,address,undefined -fno-sanitize-recover=all
fuzz:
	@mkdir -p $(BUILD)/fuzz/corpus
	clang $(STD) -Iinclude -Isrc $(MATH) $(FUZZ_FLAGS) -o $(BUILD)/fuzz/check \
		tests/fuzz/fuzz_check.c $(LIB_SRC) $(LIBS)
	$(BUILD)/fuzz/check -max_total_time=$(FUZZ_SECONDS) -timeout=10 -rss_limit_mb=4096 -print_final_stats=1 \
		$(BUILD)/fuzz/corpus $(wildcard fixtures/jobs fixtures/bad fixtures/good-odd)

bench: all
	tests/bench/run.sh

layers:
	@awk -f tests/layers.awk $(LIB_SRC) $(CLI_SRC) $(HEADERS)

install: all
	install -d $(DESTDIR)$(BINDIR) $(DESTDIR)$(LIBDIR) $(DESTDIR)$(INCLUDEDIR) $(DESTDIR)$(DOCDIR)
	install -m 755 $(OUT)/farend $(DESTDIR)$(BINDIR)/farend
	install -m 644 $(OUT)/libfarend.a $(DESTDIR)$(LIBDIR)/libfarend.a
	install -m 644 include/farend.h $(DESTDIR)$(INCLUDEDIR)/farend.h
	install -m 644 LICENSE $(wildcard README.md docs/*.md) $(DESTDIR)$(DOCDIR)

clean:
	rm -rf $(BUILD)

.PHONY: all tests deps deps-test demo test san valgrind cov analyse fuzz bench layers install clean
.DELETE_ON_ERROR:
.SECONDARY:
-include $(CLI_OBJ:.o=.d) $(LIB_OBJ:.o=.d) $(TEST_OBJ:.o=.d) $(SHARE_OBJ:.o=.d)
