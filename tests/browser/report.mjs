/* Looks at reports as a browser shows them. Prints TAP lines without numbers: "ok NAME", "not ok NAME".
 *     node report.mjs WORKDIR NAME...
 * For each NAME: WORKDIR/NAME.html, and WORKDIR/NAME.json from `farend check`. Leaves PDFs beside them. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { chromium } from 'playwright-core';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const [work, ...names] = process.argv.slice(2);

function tell(name, troubles) {
	console.log(`${troubles.length === 0 ? 'ok' : 'not ok'} ${name}`);
	for (const trouble of troubles.slice(0, 8))
		console.log(`# ${trouble}`);
}

/* Runs in the page: texts of pictures that stick out of their picture or lie on one another. */
function crowded() {
	const troubles = [];
	for (const svg of document.querySelectorAll('svg.pic')) {
		const frame = svg.getBoundingClientRect();
		const texts = [...svg.querySelectorAll('text')].map(t => ({ t, r: t.getBoundingClientRect() }));
		for (const { t, r } of texts)
			if (r.left < frame.left - 1 || r.right > frame.right + 1 || r.top < frame.top - 1 ||
			    r.bottom > frame.bottom + 1)
				troubles.push(`outside ${svg.id}: ${t.textContent}`);
		for (let i = 0; i < texts.length; i++)
			for (let k = i + 1; k < texts.length; k++) {
				const a = texts[i].r, b = texts[k].r;
				const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
				const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
				if (wide > 2 && high > 0.4 * Math.min(a.height, b.height))
					troubles.push(`in ${svg.id}: ${texts[i].t.textContent} on ${texts[k].t.textContent}`);
			}
	}
	return troubles;
}

/* Runs in the page: boxes of a drawing whose texts stick out of them. */
function overfull() {
	const troubles = [];
	for (const box of document.querySelectorAll('.pic rect.part')) {
		const r = box.getBoundingClientRect();
		for (const text of box.parentNode.querySelectorAll('text')) {
			const t = text.getBoundingClientRect(), middle = (t.top + t.bottom) / 2;
			if (middle > r.top && middle < r.bottom && t.left >= r.left && t.right > r.right)
				troubles.push(text.textContent);
		}
	}
	return troubles;
}

async function look(browser, name, width, colorScheme) {
	const context = await browser.newContext({ viewport: { width, height: 800 }, colorScheme });
	const page = await context.newPage();
	const said = [], asked = [];
	page.on('console', message => said.push(message.text()));
	page.on('pageerror', error => said.push(String(error)));
	page.on('dialog', dialog => { said.push(`dialog ${dialog.message()}`); dialog.dismiss(); });
	page.on('request', request => asked.push(request.url()));
	await page.goto(`file://${work}/${name}.html`);
	const at = `${name}, ${width} px, ${colorScheme}`;
	tell(`${at}: nothing on the console`, said);
	tell(`${at}: nothing is loaded`, asked.slice(1));
	const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
	tell(`${at}: no sideways scroll`, wide > 0 ? [`${wide} px too wide`] : []);
	await page.evaluate(axe);
	const found = await page.evaluate(() => window.axe.run());
	tell(`${at}: no accessibility violation`,
	     found.violations.map(v => `${v.id}: ${v.help}: ${v.nodes[0].html.slice(0, 120)}`));
	return page;
}

async function content(page, name) {
	const json = JSON.parse(readFileSync(`${work}/${name}.json`, 'utf8'));
	const text = await page.evaluate(() => document.body.textContent);
	const groups = ['drivers', 'strips', 'cables', 'switches', 'blocks'];
	const ids = groups.flatMap(group => Object.keys(json[group]));
	const drawn = await page.evaluate(() => [...document.querySelectorAll('.sheet title')]
		.map(t => t.textContent));
	const missing = ids.filter(id => !text.includes(id));
	tell(`${name}: all of ${ids.length} names are there`, ids.length > 0 ? missing : ['no names']);
	tell(`${name}: all are in the drawing`, ids.filter(id => !drawn.some(t => t.split(/[ ,]/).includes(id))));
	const strips = Object.values(json.strips).filter(strip => strip.v_min !== null).length;
	const charts = await page.evaluate(() => document.querySelectorAll('.profiles svg').length);
	tell(`${name}: a chart for each strip`, charts === strips ? [] : [`${charts} of ${strips}`]);
	tell(`${name}: texts of pictures keep apart`, await page.evaluate(crowded));
	tell(`${name}: texts fit their boxes`, await page.evaluate(overfull));
	const scripts = await page.evaluate(() => document.querySelectorAll('script, [onload], [onerror], img, link')
		.length);
	tell(`${name}: no script, nothing to load`, scripts === 0 ? [] : [`${scripts} elements`]);
}

const browser = await chromium.launch({
	executablePath: process.env.CHROMIUM,
	args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
	       '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
for (const name of names) {
	/* the dark colours are the same for every job */
	const dark = ['hostile', 'ring', 'sixty'].includes(name) ? [] : [[1280, 'dark']];
	for (const [width, scheme] of [[360, 'light'], [1280, 'light'], ...dark]) {
		const page = await look(browser, name, width, scheme);
		if (width === 1280 && scheme === 'light') {
			await content(page, name);
			for (const format of ['A4', 'Letter'])
				await page.pdf({ path: `${work}/${name}-${format}.pdf`, format, preferCSSPageSize: false });
		}
		await page.context().close();
	}
}
await browser.close();
