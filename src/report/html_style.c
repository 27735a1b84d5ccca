/* The stylesheet: system fonts; light and dark, both with a contrast of 4.5 : 1 or more (WCAG 2.2,
 * 1.4.3) for text and 3 : 1 for lines that are fields to write in (1.4.11); in print always dark on
 * white. Page size is the reader's own, A4 or Letter. */
#include "report/html_style.h"

#include <stddef.h>

#define LIGHT \
	"--ink:#1a1d20;--soft:#4b5157;--line:#767d84;--paper:#ffffff;--shade:#f0f2f4;" \
	"--accent:#0b4f8a;--good:#1c5c30;--warn:#7a4700;--bad:#93211a;"
#define DARK \
	"--ink:#eceef0;--soft:#b9c0c6;--line:#8a9299;--paper:#15181b;--shade:#22272b;" \
	"--accent:#8ec5f4;--good:#8ed3a2;--warn:#f0c27a;--bad:#ffaca4;"

/* A row as a block of lines, each with its heading in front. */
#define STACKED(width, table) \
	"@media screen and (max-width:" width "){" \
	table "," table " tbody," table " tr," table " th," table " td{display:block}" \
	table " thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}" \
	table " caption{display:block}" \
	table " tr{border-bottom:2px solid var(--line);padding:.4rem 0}" \
	table " td{display:flex;gap:.8rem;justify-content:space-between;border:0;padding:.12rem .45rem;" \
	"text-align:right;white-space:normal}" \
	table " td::before{content:attr(data-label);color:var(--soft);text-align:left;flex:none;" \
	"max-width:45%}" \
	table " tbody th{border:0;padding:.2rem .45rem;white-space:normal;text-align:left}" \
	table " td.empty{display:none}" \
	table " td.blank{display:flex;margin:.2rem .45rem;border:1px solid var(--line);" \
	"min-height:2rem}}\n"

const char *const html_style_sheet[] = {
	":root{color-scheme:light dark;" LIGHT "}\n"
	"@media screen and (prefers-color-scheme:dark){:root{" DARK "}}\n"
	"*{box-sizing:border-box}\n"
	"body{margin:0;background:var(--paper);color:var(--ink);"
	"font:1rem/1.45 system-ui,-apple-system,\"Segoe UI\",Roboto,\"Noto Sans\",sans-serif;"
	"overflow-wrap:anywhere}\n"
	"body>header,main,body>footer{max-width:76rem;margin:0 auto;padding:1rem}\n"
	"body>header{border-bottom:2px solid var(--ink)}\n"
	"body>footer{border-top:1px solid var(--line);color:var(--soft)}\n"
	"h1{font-size:1.6rem;line-height:1.2;margin:.2rem 0}\n"
	"h2{font-size:1.25rem;line-height:1.25;margin:2rem 0 .5rem}\n"
	"h3{font-size:1.05rem;margin:1.2rem 0 .4rem}\n"
	"p,ul,ol,dl{margin:.5rem 0;max-width:48rem}\n"
	"ul,ol{padding-left:1.6rem}\n"
	"li{margin:.25rem 0}\n"
	"a{color:var(--accent)}\n"
	"svg{max-width:100%;height:auto}\n"
	".kicker{margin:0;color:var(--soft)}\n"
	".facts{display:flex;flex-wrap:wrap;gap:.2rem 2rem;max-width:none}\n"
	".facts div{display:flex;gap:.4rem}\n"
	"dt{color:var(--soft);flex:none}\n"
	"dd{margin:0}\n"
	".good{color:var(--good);font-weight:600}\n"
	".warn{color:var(--warn);font-weight:600}\n"
	".bad{color:var(--bad);font-weight:600}\n"
	"table{border-collapse:collapse;width:100%;margin:.5rem 0 1rem;"
	"font-variant-numeric:tabular-nums}\n"
	"caption{text-align:left;color:var(--soft);padding:.2rem 0 .4rem}\n"
	"th,td{text-align:left;vertical-align:top;padding:.3rem .45rem;"
	"border-bottom:1px solid var(--line)}\n"
	"thead th{vertical-align:bottom;border-bottom:2px solid var(--ink);font-size:.9rem;"
	"line-height:1.2;overflow-wrap:normal}\n"
	".t,tbody th{min-width:5.2em}\n"
	".n{text-align:right;white-space:nowrap}\n"
	"thead .n{white-space:normal}\n",
	".wide{font-size:.875rem}\n"
	".group th{background:var(--shade);font-weight:600}\n"
	".blank{border:1px solid var(--line);min-width:3.5rem}\n"
	".lines{list-style:none;padding:0}\n"
	".lines li{display:flex;gap:.6rem;align-items:end;margin:.9rem 0}\n"
	".lines span{flex:1;min-width:4rem;border-bottom:1px solid var(--line)}\n"
	".box{display:inline-block;width:.9em;height:.9em;border:1px solid var(--line);"
	"vertical-align:-.1em;margin-right:.4em}\n"
	".labels{display:flex;flex-wrap:wrap;gap:2.5mm;list-style:none;padding:0;max-width:none}\n"
	".labels li{width:59mm;max-width:100%;min-height:16mm;margin:0;padding:1.5mm 2mm;"
	"border:1px dashed var(--line);font-size:8pt;line-height:1.25;break-inside:avoid}\n"
	".labels strong{font-size:11pt}\n"
	STACKED("60rem", ".wide")
	STACKED("36rem", "table")
	"@media print{:root{color-scheme:light;" LIGHT "}"
	"body{font-size:9.5pt}"
	"body>header,main,body>footer{max-width:none;padding:0}"
	"h1{font-size:16pt}h2{font-size:12.5pt;margin:6mm 0 2mm}h3{font-size:10.5pt}"
	"table{font-size:9pt}.wide{font-size:7.5pt}thead th{font-size:inherit}"
	".wide td[data-label=from],.wide td[data-label=to]{min-width:4.8em}"   /* L1.start in one piece */
	"th,td{padding:.8mm 1mm}"
	".wide .blank{min-width:12mm}"
	"thead{display:table-header-group}"
	"tr,li,figure,.keep{break-inside:avoid}"
	"h2,h3,caption,.group{break-after:avoid}"
	"table:not(:has(tr:nth-child(16),tbody:nth-of-type(6))){break-inside:avoid}"
	"a{color:inherit;text-decoration:none}"
	".screen{display:none}"
	".group th{print-color-adjust:exact}}\n",
	NULL
};
