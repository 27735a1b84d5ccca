/* `size --format csv`: one block per kind of answer, each with a header row, an empty line between them. */
#include "report/size.h"

#include "reference/reference.h"
#include "report/apply.h"
#include "report/csv_cells.h"

#include <math.h>

static void yes_or_no(struct buf *out, bool flag)
{
	csv_text(out, flag ? "yes" : "no");
}

static void drivers(struct buf *out, const struct size_result *result)
{
	buf_add(out, "kind,id,now_w,proposed_w,proposed_part,why,split\n");
	for (size_t i = 0; i < result->job->driver_count; i++) {
		const struct driver_plan *plan = &result->plan->drivers[i];
		buf_add(out, "driver");
		csv_text(out, result->job->drivers[i].item.id);
		csv_number(out, plan->now_w);
		csv_number(out, plan->proposed_w);
		csv_text(out, plan->part);
		csv_text(out, plan->why);
		csv_text(out, plan->split);
		buf_add_char(out, '\n');
	}
}

static void cables(struct buf *out, const struct size_result *result)
{
	buf_add(out, "\nkind,id,now,proposed,fuse_now_a,fuse_proposed_a,why\n");
	for (size_t i = 0; i < result->job->cable_count; i++) {
		const struct cable_plan *plan = &result->plan->cables[i];
		buf_add(out, "cable");
		csv_text(out, result->job->cables[i].item.id);
		csv_text(out, wire_sizes[plan->now].name);
		csv_text(out, wire_sizes[plan->proposed].name);
		csv_number(out, plan->fuse_now > 0 ? plan->fuse_now : NAN);
		csv_number(out, plan->fuse_proposed > 0 ? plan->fuse_proposed : NAN);
		csv_text(out, plan->why);
		buf_add_char(out, '\n');
	}
}

static void strips(struct buf *out, const struct size_result *result)
{
	buf_add(out, "\nkind,id,feed,proposed,runs,light_min,drop,passes\n");
	for (size_t i = 0; i < result->job->strip_count; i++) {
		const struct strip_plan *plan = &result->plan->strips[i];
		for (size_t k = 0; k < plan->option_count; k++) {
			const struct feed_option *option = &plan->options[k];
			buf_add(out, "strip");
			csv_text(out, result->job->strips[i].item.id);
			csv_text(out, feed_words(option->feed));
			yes_or_no(out, option->feed == plan->proposed);
			csv_number(out, option->feed == FEED_SPLIT ? (double)option->runs : NAN);
			csv_number(out, option->light_min);
			csv_number(out, option->drop);
			yes_or_no(out, option->passes);
			buf_add_char(out, '\n');
		}
	}
}

static void new_feeds(struct buf *out, const struct size_result *result)
{
	const struct size_plan *plan = result->plan;
	buf_add(out, "\nkind,id,from,to,length_m,size,like\n");
	for (size_t i = 0; i < plan->added_count; i++) {
		const struct added_cable *cable = &plan->added[i];
		buf_add(out, "added");
		csv_text(out, cable->id);
		csv_text(out, cable->from);
		csv_text(out, cable->to);
		csv_number(out, apply_length(cable->metres));
		csv_text(out, wire_sizes[cable->wire].name);
		csv_text(out, result->job->cables[cable->like].item.id);
		buf_add_char(out, '\n');
	}
	buf_add(out, "\nkind,id,end,proposed,length_m\n");
	for (size_t i = 0; i < plan->moved_count; i++) {
		const struct moved_cable *moved = &plan->moved[i];
		buf_add(out, "moved");
		csv_text(out, result->job->cables[moved->cable].item.id);
		csv_text(out, moved->at_from ? "from" : "to");
		csv_text(out, moved->to);
		csv_number(out, apply_length(plan->sized->cables[moved->cable].length.num));
		buf_add_char(out, '\n');
	}
}

static void limits(struct buf *out, const struct size_result *result)
{
	buf_add(out, "\nkind,strip_type,like,one_end_m,both_ends_m,middle_m\n");
	for (size_t i = 0; i < result->plan->longest_count; i++) {
		const struct longest_run *run = &result->plan->longest[i];
		buf_add(out, "longest_run");
		csv_text(out, run->strip_type);
		csv_text(out, run->like);
		csv_number(out, run->one_end);
		csv_number(out, run->both_ends);
		csv_number(out, run->middle);
		buf_add_char(out, '\n');
	}
	buf_add(out, "\nkind,message\n");
	for (size_t i = 0; i < result->stuck_count; i++) {
		buf_add(out, "stuck");
		csv_text(out, result->stuck[i]);
		buf_add_char(out, '\n');
	}
}

void size_csv(struct buf *out, const struct size_result *result, const struct style *style)
{
	(void)style;
	drivers(out, result);
	cables(out, result);
	strips(out, result);
	new_feeds(out, result);
	limits(out, result);
}
