#!/bin/sh
# Writes a sound job of sixty strips: fifteen bays, each behind a door switch, five to a driver.
awk 'BEGIN {
	print "job: {name: Sixty strips in fifteen bays, revision: B, date: 2026-11-20, drawn_by: R. T.}"
	print "strip_types:\n  warm: {voltage: 24 V, power: 4.8 W/m, cut_length: 50 mm, loop_resistance: 0.11 ohm/m, led_knee: 16.5 V, mount: aluminium}"
	print "switch_types:\n  door: {max_current: 5 A, on_resistance: 35 mohm}"
	print "drivers:"
	for (d = 1; d <= 3; d++)
		printf "  D%d: {voltage: 24 V, power: 250 W, trip_current: 12 A, selv: yes, class_2: yes, place: plinth %d}\n", d, d
	print "switches:"
	for (b = 1; b <= 15; b++)
		printf "  S%d: {type: door, place: bay %d}\n", b, b
	print "blocks:"
	for (b = 1; b <= 15; b++)
		printf "  B%d: {ports: 6, max_current: 10 A, place: bay %d}\n", b, b
	print "strips:"
	for (i = 1; i <= 60; i++)
		printf "  L%d: {type: warm, length: %d mm, place: bay %d shelf %d}\n", i, 600 + 50 * (i * 7 % 40), int((i + 3) / 4), (i - 1) % 4 + 1
	print "cables:"
	for (b = 1; b <= 15; b++) {
		printf "  C%d: {size: 1.5 mm2, from: D%d, to: S%d, length: %.1f m, joint: screw}\n", ++c, int((b + 4) / 5), b, 1 + (b - 1) % 5 * 0.8
		printf "  C%d: {size: 1.5 mm2, from: S%d, to: B%d, length: 300 mm, joint: screw}\n", ++c, b, b
		for (k = 1; k <= 4; k++)
			printf "  C%d: {size: 0.75 mm2, from: B%d, to: L%d, length: %d mm, joint: solder}\n", ++c, b, 4 * b - 4 + k, 300 + 100 * k
	}
}'
