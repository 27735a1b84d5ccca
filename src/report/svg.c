/* One way to write each shape; coordinates to the tenth of a unit. */
#include "report/svg.h"

#include "base/text.h"
#include "quantity/quantity.h"
#include "report/html.h"

#include <math.h>
#include <string.h>

#define ELLIPSIS 10.0

static const char style_of_file[] =
	"svg{--ink:#1a1d20;--soft:#4b5157;--line:#767d84;--paper:#ffffff;--shade:#f0f2f4;--accent:#0b4f8a;"
	"--warn:#7a4700;--bad:#93211a;background:var(--paper)}\n"
	"@media screen and (prefers-color-scheme:dark){svg{--ink:#eceef0;--soft:#b9c0c6;--line:#8a9299;"
	"--paper:#15181b;--shade:#22272b;--accent:#8ec5f4;--warn:#f0c27a;--bad:#ffaca4}}\n";

static const char style_of_shapes[] =
	".pic text{font:10px system-ui,Arial,\"Liberation Sans\",sans-serif;fill:var(--ink);"
	"font-variant-numeric:tabular-nums}\n"
	".pic .b,.pic .badge{font-weight:700}\n"
	".pic .s{fill:var(--soft)}\n"
	".pic .m{text-anchor:middle}.pic .e{text-anchor:end}\n"
	".pic .part{fill:var(--paper);stroke:var(--ink);stroke-width:1}\n"
	".pic .heavy{stroke-width:2.5}\n"
	".pic .round{fill:var(--shade)}\n"
	".pic .wire{fill:none;stroke:var(--ink);stroke-width:1.4}\n"
	".pic .bar{fill:var(--paper);stroke:var(--ink);stroke-width:.8}\n"
	".pic .lit{fill:var(--accent);stroke:none;print-color-adjust:exact}\n"
	".pic .mains{fill:none;stroke:var(--ink);stroke-width:1.4;stroke-dasharray:4 3}\n"
	".pic .grid{fill:none;stroke:var(--line);stroke-width:.5}\n"
	".pic .axis{fill:none;stroke:var(--ink);stroke-width:1}\n"
	".pic .limit{fill:none;stroke:var(--ink);stroke-width:1;stroke-dasharray:1.5 3}\n"
	".pic .now{fill:none;stroke:var(--accent);stroke-width:2}\n"
	".pic .then{fill:none;stroke:var(--ink);stroke-width:1.6;stroke-dasharray:7 3}\n"
	".pic .band{fill:var(--ink);fill-opacity:.13;stroke:none}\n"
	".pic .fail{fill:var(--bad)}.pic .caution{fill:var(--warn)}\n"
	"#limits tbody th{overflow-wrap:normal}\n"
	"thead th{overflow-wrap:normal}\n"
	".sheet{margin:1rem 0;break-inside:avoid}\n"
	".sheet section{overflow-x:auto}\n"
	".sheet svg{max-width:none;display:block}\n"
	"figcaption{color:var(--soft);font-size:.9rem;max-width:48rem}\n"
	".profiles{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,20rem),1fr));"
	"gap:1rem 1.5rem;margin:1rem 0}\n"
	".profiles figure{margin:0;break-inside:avoid}\n"
	".profiles svg{width:100%;display:block}\n"
	"@media print{.sheet section{overflow:visible}"
	".sheet svg{max-width:100%;max-height:228mm}"
	"figcaption{font-size:8.5pt}"
	".profiles{grid-template-columns:1fr 1fr;gap:4mm 6mm}}\n";

/* One decimal at most; zero has no sign. */
static void add_number(struct buf *out, double value)
{
	double tenths = round(10 * value);
	if (fmod(tenths, 10) == 0)
		buf_addf(out, "%.0f", tenths / 10 + 0.0);
	else
		buf_addf(out, "%.1f", tenths / 10);
}

static void add_attribute(struct buf *out, const char *name, double value)
{
	buf_addf(out, " %s=\"", name);
	add_number(out, value);
	buf_add_char(out, '"');
}

static void add_titled(struct buf *out, const char *tag, const char *id, const char *text)
{
	buf_addf(out, "<%s id=\"%s-%s\">", tag, id, tag);
	html_add(out, text);
	buf_addf(out, "</%s>\n", tag);
}

void svg_open(struct buf *out, const struct svg_frame *frame)
{
	buf_addf(out, "%s<svg%s class=\"pic\" id=\"%s\" role=\"img\" aria-labelledby=\"%s-title %s-desc\"",
	         frame->file ? "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" : "",
	         frame->file ? " xmlns=\"http://www.w3.org/2000/svg\"" : "", frame->id, frame->id, frame->id);
	add_attribute(out, "width", frame->width * frame->scale);
	add_attribute(out, "height", frame->height * frame->scale);
	buf_add(out, " viewBox=\"0 0 ");
	add_number(out, frame->width);
	buf_add_char(out, ' ');
	add_number(out, frame->height);
	buf_add(out, "\">\n");
	add_titled(out, "title", frame->id, frame->title);
	add_titled(out, "desc", frame->id, frame->desc);
	if (frame->style)
		buf_addf(out, "<style>\n%s%s</style>\n", frame->file ? style_of_file : "", style_of_shapes);
}

void svg_close(struct buf *out)
{
	buf_add(out, "</svg>\n");
}

void svg_group_open(struct buf *out, double x, double y, const char *title)
{
	buf_add(out, "<g");
	if (x > 0 || y > 0) {
		buf_add(out, " transform=\"translate(");
		add_number(out, x);
		buf_add_char(out, ' ');
		add_number(out, y);
		buf_add(out, ")\"");
	}
	buf_add(out, ">");
	if (title != NULL)
		html_element(out, "title", title);
}

void svg_group_close(struct buf *out)
{
	buf_add(out, "</g>\n");
}

void svg_box(struct buf *out, const char *class, double x, double y, double width, double height)
{
	buf_addf(out, "<rect class=\"%s\"", class);
	add_attribute(out, "x", x);
	add_attribute(out, "y", y);
	add_attribute(out, "width", width);
	add_attribute(out, "height", height);
	buf_add(out, "/>\n");
}

static void add_points(struct buf *out, const struct point *points, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		buf_add_char(out, i == 0 ? 'M' : 'L');
		add_number(out, points[i].x);
		buf_add_char(out, ' ');
		add_number(out, points[i].y);
	}
}

void svg_line(struct buf *out, const char *class, const struct point *points, size_t count)
{
	svg_curve(out, class, points, count, NAN);
}

void svg_curve(struct buf *out, const char *class, const struct point *points, size_t count,
               double base)
{
	if (count == 0)
		return;
	buf_addf(out, "<path class=\"%s\" d=\"", class);
	add_points(out, points, count);
	if (isfinite(base)) {
		buf_add_char(out, 'L');
		add_number(out, points[count - 1].x);
		buf_add_char(out, ' ');
		add_number(out, base);
		buf_add_char(out, 'L');
		add_number(out, points[0].x);
		buf_add_char(out, ' ');
		add_number(out, base);
		buf_add_char(out, 'Z');
	}
	buf_add(out, "\"/>\n");
}

/* Units that a character takes at most, in the wider ones of the usual fonts. */
static double character_width(uint32_t code)
{
	int columns = text_char_width(code);
	if (columns != 1)
		return 10.5 * columns;
	if (code < 0x80 && strchr("MWmw@%", (int)code) != NULL)
		return 10.0;
	if (code < 0x80 && strchr(" .,:;|ijl", (int)code) != NULL)
		return 3.6;
	return code >= 'A' && code <= 'Z' ? 7.8 : SVG_CHARACTER;
}

double svg_text_width(const char *text)
{
	size_t length = strlen(text);
	double width = 0;
	for (size_t at = 0; at < length;) {
		uint32_t code;
		at += text_decode(text + at, length - at, &code);
		width += character_width(code);
	}
	return width;
}

/* Bytes at the start of the text that take no more than `width`. */
static size_t bytes_within(const char *text, double width)
{
	size_t length = strlen(text), at = 0;
	while (at < length) {
		uint32_t code;
		size_t size = text_decode(text + at, length - at, &code);
		width -= character_width(code);
		if (width < 0)
			break;
		at += size;
	}
	return at;
}

const char *svg_fit(struct arena *arena, const char *text, double width)
{
	struct buf safe;
	buf_init(&safe, arena);
	text_add_safe(&safe, text, strlen(text));
	double whole = svg_text_width(safe.data);
	if (whole <= width)
		return safe.data;
	double half = width > ELLIPSIS ? (width - ELLIPSIS) / 2 : 0;
	size_t head = bytes_within(safe.data, half);
	size_t tail = bytes_within(safe.data, whole - half);
	while (tail < safe.length && svg_text_width(safe.data + tail) > half) {
		uint32_t code;
		tail += text_decode(safe.data + tail, safe.length - tail, &code);
	}
	return arena_printf(arena, "%.*s\xE2\x80\xA6%s", (int)head, safe.data, safe.data + tail);
}

void svg_text(struct buf *out, const char *class, enum svg_anchor anchor, double x, double y, double width,
              const char *text)
{
	static const char *const anchors[] = { [SVG_START] = "", [SVG_MIDDLE] = "m", [SVG_END] = "e" };
	bool both = *class != '\0' && anchor != SVG_START;
	buf_add(out, "<text");
	if (*class != '\0' || anchor != SVG_START)
		buf_addf(out, " class=\"%s%s%s\"", class, both ? " " : "", anchors[anchor]);
	add_attribute(out, "x", x);
	add_attribute(out, "y", y);
	buf_add_char(out, '>');
	html_add(out, svg_fit(out->arena, text, width));
	buf_add(out, "</text>\n");
}

const char *percent_range(struct arena *arena, double low, double high)
{
	const char *most = quantity_percent(arena, high);
	if (lround(100 * low) == lround(100 * high))
		return most;
	return arena_printf(arena, "%.0f to %s", 100 * low, most);
}
