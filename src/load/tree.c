/* Places inside scalars. */
#include "load/tree.h"

#include <string.h>

struct place node_within(const struct node *node, size_t at, size_t length)
{
	struct place place = node->at;
	if (node->kind != NODE_SCALAR || !node->exact)
		return place;
	place.column += (uint32_t)(node->lead + at);
	place.length = length > 0 ? (uint32_t)length : 1;
	return place;
}

struct place node_inside(const struct node *node)
{
	return node_within(node, 0, tree_characters(node->text, strlen(node->text)));
}

bool node_is_null(const struct node *node)
{
	static const char *const words[] = { "", "~", "null", "Null", "NULL" };
	if (node->kind != NODE_SCALAR || node->quoted)
		return false;
	for (size_t i = 0; i < sizeof words / sizeof *words; i++)
		if (strcmp(node->text, words[i]) == 0)
			return true;
	return false;
}

size_t tree_characters(const char *text, size_t size)
{
	size_t count = 0;
	for (size_t i = 0; i < size; i++)
		count += ((unsigned char)text[i] & 0xC0) != 0x80;
	return count;
}
