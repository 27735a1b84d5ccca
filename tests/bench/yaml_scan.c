/* The least that a program can do with a job file: have libyaml find its events.
 *     yaml_scan JOB.yaml
 * The yardstick for the whole of `farend check`. */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <yaml.h>

int main(int argc, char **argv)
{
	yaml_parser_t parser;
	yaml_event_t event;
	size_t events = 0;
	FILE *in = argc == 2 ? fopen(argv[1], "rb") : NULL;

	if (!in || !yaml_parser_initialize(&parser))
		return 2;
	yaml_parser_set_input_file(&parser, in);
	for (bool done = false; !done; events++) {
		if (!yaml_parser_parse(&parser, &event))
			return 3;
		done = event.type == YAML_STREAM_END_EVENT;
		yaml_event_delete(&event);
	}
	yaml_parser_delete(&parser);
	fclose(in);
	printf("%zu events\n", events);
	return 0;
}
