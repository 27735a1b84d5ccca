/* Looks at printed pages. Prints TAP lines without numbers.
 *     node paper.mjs NAME MOST_PAGES IDS.json BBOX.html PAGES.pgm...
 * IDS.json comes from `farend check`, BBOX.html from pdftotext -bbox, the pages from pdftoppm -gray -r 36. */
import { readFileSync } from 'node:fs';

const [name, most, idsFile, boxFile, ...pictures] = process.argv.slice(2);
const LEAST_TEXT = 6;            /* pt */
const EDGE = 20;                 /* pt at the sides that stay white */

function tell(what, troubles) {
	console.log(`${troubles.length === 0 ? 'ok' : 'not ok'} ${name}: ${what}`);
	for (const trouble of troubles.slice(0, 8))
		console.log(`# ${trouble}`);
}

const pages = readFileSync(boxFile, 'utf8').split('<page ').slice(1).map(page => {
	const [, width, height] = page.match(/width="([\d.]+)" height="([\d.]+)"/).map(Number);
	const words = [...page.matchAll(/xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</g)]
		.map(m => ({ x: +m[1], y: +m[2], right: +m[3], bottom: +m[4], text: m[5] }));
	return { width, height, words };
});
const text = pages.map(page => page.words.map(word => word.text).join(' ')).join(' ');

tell(`it has ${most} pages at most`, pages.length > 1 && pages.length <= +most ? [] : [`${pages.length}`]);
tell('pages are numbered', pages.map((page, i) => `Page ${i + 1} of ${pages.length}`)
	.filter(number => !text.includes(number)));
tell('no page is empty', pages.filter(page => page.words.length < 12).map((page, i) => `page ${i + 1}`));
tell('no word is cut off', pages.flatMap(page => page.words.filter(word => word.x < EDGE || word.y < EDGE / 2 ||
	word.right > page.width - EDGE || word.bottom > page.height - EDGE / 2).map(word => word.text)));
/* the box of a word is as high as its font is from ascent to descent: never less than its size */
tell(`text has ${LEAST_TEXT} pt`, pages.flatMap(page => page.words.filter(word =>
	word.bottom - word.y < LEAST_TEXT).map(word => `${word.text}: ${(word.bottom - word.y).toFixed(2)} pt`)));
const json = JSON.parse(readFileSync(idsFile, 'utf8'));
const squeezed = text.replace(/\s/g, '');
tell('every name is printed', ['drivers', 'strips', 'cables', 'switches', 'blocks']
	.flatMap(group => Object.keys(json[group])).filter(id => !squeezed.includes(id)));

/* No ink in the outermost 20 pt left and right: nothing runs off the paper. */
const inked = [];
for (const [i, file] of pictures.entries()) {
	const bytes = readFileSync(file);
	const [head, width, height] = bytes.subarray(0, 40).toString('latin1').match(/^P5\s+(\d+)\s+(\d+)\s+255\s/);
	for (let y = 0; y < +height; y++)
		for (let x = 0; x < EDGE / 2; x++)
			for (const at of [x, +width - 1 - x])
				if (bytes[head.length + y * +width + at] < 200 && inked.length < 3)
					inked.push(`page ${i + 1} at ${at}, ${y}`);
}
tell('nothing runs off the paper', pictures.length === pages.length ? inked : ['pages are missing']);
