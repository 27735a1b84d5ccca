/* Hoare's FIND (Algorithm 65, CACM 4 (1961) 321) as Wirth writes it (Algorithms + Data Structures =
 * Programs, section 2.3). */
#include "advise/quantile.h"

float quantile(float *list, size_t count, double p)
{
	long wanted = (long)(p * (double)(count - 1) + 0.5), low = 0, high = (long)count - 1;
	while (low < high) {
		float pivot = list[wanted];
		long i = low, j = high;
		do {
			while (list[i] < pivot)
				i++;
			while (pivot < list[j])
				j--;
			if (i <= j) {
				float kept = list[i];
				list[i++] = list[j];
				list[j--] = kept;
			}
		} while (i <= j);
		if (j < wanted)
			low = i;
		if (wanted < i)
			high = j;
	}
	return list[wanted];
}
