/* Twelve significant digits without printf. The number is scaled to a whole one of twelve digits in
 * extended precision, whose 64 bits leave more than six digits to spare for the rounding; what lies
 * outside the range where "%.12g" writes no exponent is left to printf. */
#include "base/buf.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define DIGITS 12
#define LEAST 1e-4               /* below, and from 10^DIGITS on, "%g" changes to an exponent */
#define MOST 999999999999.0

/* 10^0 to 10^15, exact. */
static const long double power[] = {
	1e0L, 1e1L, 1e2L, 1e3L, 1e4L, 1e5L, 1e6L, 1e7L, 1e8L, 1e9L, 1e10L, 1e11L, 1e12L, 1e13L, 1e14L, 1e15L
};

/* Digits before the point, at most 0 for a number below 1: 1 for 5, 0 for 0.5, -1 for 0.05. */
static int point_of(double size)
{
	int point = 0;
	if (size >= 1) {
		while (point < DIGITS && size >= (double)power[point])
			point++;
		return point;
	}
	while (size * (double)power[1 - point] < 1)
		point--;
	return point;
}

void buf_add_number(struct buf *buf, double number)
{
	double size = fabs(number);
	if (number == 0) {
		buf_add_char(buf, '0');
		return;
	}
	if (!(size >= LEAST && size <= MOST)) {
		buf_addf(buf, "%.12g", number);
		return;
	}
	int point = point_of(size);
	uint64_t whole = (uint64_t)llrintl((long double)size * power[DIGITS - point]);
	if (whole >= (uint64_t)power[DIGITS]) {      /* 9.99… rounded up to 10 */
		whole /= 10;
		point++;
	}
	char digits[DIGITS], text[DIGITS + 8];
	for (int i = DIGITS; i-- > 0; whole /= 10)
		digits[i] = (char)('0' + whole % 10);
	int used = DIGITS, at = 0;
	while (used > 1 && used > point && digits[used - 1] == '0')
		used--;
	if (number < 0)
		text[at++] = '-';
	if (point <= 0) {
		text[at++] = '0';
		text[at++] = '.';
		for (int i = point; i < 0; i++)
			text[at++] = '0';
	}
	for (int i = 0; i < used; i++) {
		if (i == point && point > 0)
			text[at++] = '.';
		text[at++] = digits[i];
	}
	buf_add_bytes(buf, text, (size_t)at);
}
