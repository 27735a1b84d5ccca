/* Twelve significant digits without printf. The number is scaled to a whole one of twelve digits, with what
 * the multiplication rounded off kept beside it, so that the last digit is right in every case; what lies
 * outside the range where "%.12g" writes no exponent is left to printf. */
#include "base/buf.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define DIGITS 12
#define LEAST 1e-4               /* below, and from 10^DIGITS on, "%g" changes to an exponent */
#define MOST 999999999999.0

/* 10^0 to 10^15, exact. */
static const double power[] = {
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16
};

static const char pairs[] =
	"00010203040506070809101112131415161718192021222324252627282930313233343536373839404142434445464748"
	"4950515253545556575859606162636465666768697071727374757677787980818283848586878889909192939495969798"
	"99";

/* Digits before the point, at most 0 for a number below 1: 1 for 5, 0 for 0.5, -1 for 0.05. */
static int point_of(double size)
{
	int point = 0;
	if (size >= 1) {
		while (point < DIGITS && size >= power[point])
			point++;
		return point;
	}
	while (size * power[1 - point] < 1)
		point--;
	return point;
}

/* size * 10^places as the nearest whole number, halves to the even one. Below 10^13 every multiple of a half
 * is a double, so only a product that lies on a half itself needs its rounding error to decide. */
static uint64_t scaled(double size, int places)
{
	double product = size * power[places], error = fma(size, power[places], -product);
	double whole = rint(product), above = product - whole;
	if (above == 0.5 && error > 0)
		whole += 1;
	else if (above == -0.5 && error < 0)
		whole -= 1;
	return (uint64_t)whole;
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
	uint64_t whole = scaled(size, DIGITS - point);
	if (whole >= (uint64_t)power[DIGITS]) {      /* 9.99… rounded up to 10 */
		whole /= 10;
		point++;
	}
	char digits[DIGITS], text[DIGITS + 8];
	for (int i = DIGITS - 2; i >= 0; i -= 2, whole /= 100)
		memcpy(digits + i, pairs + 2 * (whole % 100), 2);
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
	int before = point > 0 ? point : 0;
	memcpy(text + at, digits, (size_t)before);
	at += before;
	if (before > 0 && used > before)
		text[at++] = '.';
	memcpy(text + at, digits + before, (size_t)(used - before));
	buf_add_bytes(buf, text, (size_t)(at + used - before));
}
