/* A plan put into the user's file, in every style in which a file can be written. What the search would choose is
 * not the matter here. */
#include "apply_support.h"

static void nothing(struct sizing *s)
{
	(void)s;
}

static void test_nothing_changes_nothing(void **state)
{
	(void)state;
	static const char text[] = "\n# first\n" HEAD "cables:\t# tab\r\n  C1: { size: '0.75 mm2' ,from: D1, "
	                           "to: L1.end,length: 2 m}\r  \n";
	assert_written(text, nothing, text);
}

static void test_flow_style(void **state)
{
	(void)state;
	assert_written(HEAD "cables:\n"
	               "  # feeds\n"
	               "  C1:  {size: 0.75 mm2, from: D1, to: L1, length: 2 m}   # keep {me}, \"too\n"
	               "  # end\n",
	               fused_and_fed,
	               HEAD "cables:\n"
	               "  # feeds\n"
	               "  C1:  {fuse: 7.5 A, size: 1 mm2, from: D1, to: L1, length: 2 m}   # keep {me}, \"too\n"
	               "  C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\n"
	               "  # end\n");
}

static void test_block_style(void **state)
{
	(void)state;
	assert_written(HEAD "cables:\n"
	               "    C1:      # a cable\n"
	               "        # its start\n"
	               "        from:   D1\n"
	               "        to:     L1     # the near end\n"
	               "\n"
	               "        length: 2 m    # measured: twice\n"
	               "        size:   \"0.75 mm2\"# not a comment's place, but kept\n"
	               "\n"
	               "# end\n",
	               nothing,
	               HEAD "cables:\n"
	               "    C1:      # a cable\n"
	               "        # its start\n"
	               "        from:   D1\n"
	               "        to:     L1     # the near end\n"
	               "\n"
	               "        length: 2 m    # measured: twice\n"
	               "        size:   \"0.75 mm2\"# not a comment's place, but kept\n"
	               "\n"
	               "# end\n");
	assert_written(HEAD "cables:\n"
	               "    C1:      # a cable\n"
	               "        # its start\n"
	               "        from:   D1\n"
	               "        to:     L1     # the near end\n"
	               "        length: 2 m    # measured: twice\n"
	               "        size:   \"0.75 mm2\"   # as sold\n"
	               "\n"
	               "# end\n",
	               fused_and_fed,
	               HEAD "cables:\n"
	               "    C1:      # a cable\n"
	               "        # its start\n"
	               "        fuse: 7.5 A\n"
	               "        from:   D1\n"
	               "        to:     L1     # the near end\n"
	               "        length: 2 m    # measured: twice\n"
	               "        size:   \"1 mm2\"   # as sold\n"
	               "    C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\n"
	               "\n"
	               "# end\n");
}

/* Scalars that look like something else, and long ones, before and after what changes. */
static void test_block_style_with_odd_neighbours(void **state)
{
	(void)state;
	assert_written(HEAD "cables:\n"
	               "  C1:\n"
	               "    note: |\n"
	               "      size: 4 mm2\n"
	               "      # no comment\n"
	               "    place: it's \"here\", {or there}\n"
	               "    from: D1\n"
	               "    colour: 'don''t: # know'\n"
	               "    to:\n"
	               "      L1\n"
	               "    size: 0.75 mm2\n"
	               "    part: a long\n"
	               "      one # two\n"
	               "    length: 2 m\n"
	               "job: {name: x}\n",
	               fused_and_fed,
	               HEAD "cables:\n"
	               "  C1:\n"
	               "    fuse: 7.5 A\n"
	               "    note: |\n"
	               "      size: 4 mm2\n"
	               "      # no comment\n"
	               "    place: it's \"here\", {or there}\n"
	               "    from: D1\n"
	               "    colour: 'don''t: # know'\n"
	               "    to:\n"
	               "      L1\n"
	               "    size: 1 mm2\n"
	               "    part: a long\n"
	               "      one # two\n"
	               "    length: 2 m\n"
	               "  C1b: {colour: \"don't: # know\", from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\n"
	               "job: {name: x}\n");
}

static void test_flow_groups_and_json(void **state)
{
	(void)state;
	assert_written(HEAD "cables: { C1: { size: 0.75 mm2, from: D1, to: L1, length: 2 m }  } # all\n",
	               fused_and_fed,
	               HEAD "cables: { C1: { fuse: 7.5 A, size: 1 mm2, from: D1, to: L1, length: 2 m }, "
	               "C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}  } # all\n");
	assert_written("{\"strip_types\":{\"w\":{\"voltage\":\"24 V\",\"power\":\"9 W/m\",\"cut_length\":\"50 mm\"}},"
	               "\"drivers\":{\"D1\":{\"voltage\":\"24 V\",\"power\":\"60 W\"}},\n"
	               "\"strips\":{\"L1\":{\"type\":\"w\",\"length\":\"1 m\"}},\"cables\":{\n"
	               "\"C1\":{\"from\":\"D1\",\"to\":\"L1\",\"length\":\"2 m\",\"note\":\"\\\"}, # \\\\\",\"size\":\"0.75 mm2\"}\n"
	               "}}",
	               fused_and_fed,
	               "{\"strip_types\":{\"w\":{\"voltage\":\"24 V\",\"power\":\"9 W/m\",\"cut_length\":\"50 mm\"}},"
	               "\"drivers\":{\"D1\":{\"voltage\":\"24 V\",\"power\":\"60 W\"}},\n"
	               "\"strips\":{\"L1\":{\"type\":\"w\",\"length\":\"1 m\"}},\"cables\":{\n"
	               "\"C1\":{fuse: 7.5 A, \"from\":\"D1\",\"to\":\"L1\",\"length\":\"2 m\",\"note\":\"\\\"}, # \\\\\","
	               "\"size\":\"1 mm2\"}, C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\n"
	               "}}");
	assert_written(HEAD "cables:\n"
	               "  C1: {        # over\n"
	               "    from: D1, to: L1, # several, lines\n"
	               "    length: 2 m,\n"
	               "    size: 0.75 mm2,\n"
	               "  }            # done\n"
	               "limits: {headroom: 10 %}\n",
	               fused_and_fed,
	               HEAD "cables:\n"
	               "  C1: {        # over\n"
	               "    fuse: 7.5 A, from: D1, to: L1, # several, lines\n"
	               "    length: 2 m,\n"
	               "    size: 1 mm2,\n"
	               "  }            # done\n"
	               "  C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\n"
	               "limits: {headroom: 10 %}\n");
}

/* What comes from a type is said at the item from now on; the type stays as it is. */
static void test_values_of_a_type(void **state)
{
	(void)state;
	assert_written(HEAD "cable_types: {run: {size: 0.75 mm2, joint: screw}}\n"
	               "cables:\n"
	               "  C1: {type: run, from: D1, to: L1, length: 2 m, joint: solder}\n"
	               "  C2:\n"
	               "    type: run\n"
	               "    from: D1\n"
	               "    to: L1.end\n"
	               "    length: 2 m\n",
	               fused_and_fed,
	               HEAD "cable_types: {run: {size: 0.75 mm2, joint: screw}}\n"
	               "cables:\n"
	               "  C1: {fuse: 7.5 A, size: 1 mm2, type: run, from: D1, to: L1, length: 2 m, joint: solder}\n"
	               "  C1b: {type: run, joint: solder, from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\n"
	               "  C2:\n"
	               "    type: run\n"
	               "    from: D1\n"
	               "    to: L1.end\n"
	               "    length: 2 m\n");
}

static void c2_thicker(struct sizing *s)
{
	plan_size(s, "C2", "1.5 mm2");
}

static void test_block_style_insertion(void **state)
{
	(void)state;
	assert_written(HEAD "cable_types: {run: {size: 0.75 mm2}}\n"
	               "cables:\n"
	               "  C2: &c2\n"
	               "    type: run  # as below\n"
	               "    from: D1\n"
	               "    to: L1.end\n"
	               "    length: 2 m",
	               c2_thicker,
	               HEAD "cable_types: {run: {size: 0.75 mm2}}\n"
	               "cables:\n"
	               "  C2: &c2\n"
	               "    size: 1.5 mm2\n"
	               "    type: run  # as below\n"
	               "    from: D1\n"
	               "    to: L1.end\n"
	               "    length: 2 m");
}

/* CRLF, a lone CR, and a last line without an end. */
static void test_line_ends(void **state)
{
	(void)state;
	assert_written(HEAD "cables:\r\n"
	               "  C1:\r\n"
	               "    from: D1 # a\r\n"
	               "    to: L1\r\n"
	               "    size: 0.75 mm2\r\n"
	               "    length: 2 m # z\r\n"
	               "\r\n",
	               fused_and_fed,
	               HEAD "cables:\r\n"
	               "  C1:\r\n"
	               "    fuse: 7.5 A\r\n"
	               "    from: D1 # a\r\n"
	               "    to: L1\r\n"
	               "    size: 1 mm2\r\n"
	               "    length: 2 m # z\r\n"
	               "  C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\r\n"
	               "\r\n");
	assert_written("strip_types: {warm: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm}}\r\n"
	               "drivers: {D1: {voltage: 24 V, power: 60 W}}\r\n"
	               "strips: {L1: {type: warm, length: 1 m}}\r\n"
	               "cables:\r\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 2 m}",
	               second_feed,
	               "strip_types: {warm: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm}}\r\n"
	               "drivers: {D1: {voltage: 24 V, power: 60 W}}\r\n"
	               "strips: {L1: {type: warm, length: 1 m}}\r\n"
	               "cables:\r\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 2 m}"
	               "\r\n  C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}");
	assert_written("strip_types: {warm: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm}}\r"
	               DRIVER STRIPS "cables:\r  C1: {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\r",
	               second_feed,
	               "strip_types: {warm: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm}}\r"
	               DRIVER STRIPS "cables:\r  C1: {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\r"
	               "  C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\r");
}

static void test_anchors_aliases_and_merges(void **state)
{
	(void)state;
	assert_written(HEAD "cables:\n"
	               "  C1: &c {size: &s 0.75 mm2, from: D1, to: L1, length: 2 m}\n",
	               thicker,
	               HEAD "cables:\n"
	               "  C1: &c {size: &s 1 mm2, from: D1, to: L1, length: 2 m}\n");
	assert_written(HEAD "cables:\n"
	               "  C2: &c {size: &s 0.75 mm2, from: D1, to: L1.end, length: 2 m}\n"
	               "  C1: {size: *s, from: D1, to: L1, length: 2 m}\n",
	               thicker,
	               HEAD "cables:\n"
	               "  C2: &c {size: &s 0.75 mm2, from: D1, to: L1.end, length: 2 m}\n"
	               "  C1: {size: 1 mm2, from: D1, to: L1, length: 2 m}\n");
	assert_written(HEAD "cables:\n"
	               "  C2: &c {size: 0.75 mm2, from: D1, to: L1.end, length: 2 m, joint: clip}\n"
	               "  C1: {<<: *c, to: L1}\n",
	               fused_and_fed,
	               HEAD "cables:\n"
	               "  C2: &c {size: 0.75 mm2, from: D1, to: L1.end, length: 2 m, joint: clip}\n"
	               "  C1: {fuse: 7.5 A, size: 1 mm2, <<: *c, to: L1}\n"
	               "  C1b: {joint: clip, from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\n");
}

static void test_characters_before_the_item(void **state)
{
	(void)state;
	assert_written(HEAD "cables: {kabel-\xC3\xA4: {place: 'gr\xC3\xBC\xC3\x9F', size: 1 mm2, from: D1, to: L1.end, "
	               "length: 1 m}, \"C1\": {size: 0.75 mm2, from: D1, to: L1, length: 2 m}}\n",
	               fused_and_fed,
	               HEAD "cables: {kabel-\xC3\xA4: {place: 'gr\xC3\xBC\xC3\x9F', size: 1 mm2, from: D1, to: L1.end, "
	               "length: 1 m}, \"C1\": {fuse: 7.5 A, size: 1 mm2, from: D1, to: L1, length: 2 m}, "
	               "C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}}\n");
}

/* A rating that was said was that of the old size. 1 mm2: 10 A, BS 7671 Table 4F3A. */
static void test_rating_follows_the_size(void **state)
{
	(void)state;
	assert_written(HEAD "cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 2 m, rating: 5 A}\n", thicker,
	               HEAD "cables:\n  C1: {size: 1 mm2, from: D1, to: L1, length: 2 m, rating: 10 A}\n");
	assert_written(HEAD "cable_types: {run: {size: 0.75 mm2, rating: 5 A}}\n"
	               "cables:\n  C1: {type: run, from: D1, to: L1, length: 2 m}\n", thicker,
	               HEAD "cable_types: {run: {size: 0.75 mm2, rating: 5 A}}\n"
	               "cables:\n  C1: {rating: 10 A, size: 1 mm2, type: run, from: D1, to: L1, length: 2 m}\n");
}

/* What is written into a job in feet is in feet: 3.01 m / 0.3048 = 9.875. */
static void test_feet_stay_feet(void **state)
{
	(void)state;
	assert_written(HEAD "cables:\n"
	               "  C1: {size: 0.75 mm2, from: D1, to: L1, length: 6 ft}\n"
	               "  C2: {size: 0.75 mm2, from: D1, to: L1@0.5m, length: 7 ft}\n",
	               fused_and_fed,
	               HEAD "cables:\n"
	               "  C1: {fuse: 7.5 A, size: 1 mm2, from: D1, to: L1, length: 6 ft}\n"
	               "  C1b: {from: D1, to: L1.end, length: 9.88 ft, size: 0.75 mm2}\n"
	               "  C2: {size: 0.75 mm2, from: D1, to: L1@0.5m, length: 7 ft}\n");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_nothing_changes_nothing),
		cmocka_unit_test(test_flow_style),
		cmocka_unit_test(test_block_style),
		cmocka_unit_test(test_block_style_with_odd_neighbours),
		cmocka_unit_test(test_flow_groups_and_json),
		cmocka_unit_test(test_values_of_a_type),
		cmocka_unit_test(test_block_style_insertion),
		cmocka_unit_test(test_line_ends),
		cmocka_unit_test(test_anchors_aliases_and_merges),
		cmocka_unit_test(test_characters_before_the_item),
		cmocka_unit_test(test_rating_follows_the_size),
		cmocka_unit_test(test_feet_stay_feet),
	};
	return cmocka_run_group_tests_name("apply", tests, NULL, NULL);
}
