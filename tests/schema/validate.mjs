// A second validator, with the regular expressions of ECMA 262, must come to the same verdicts:
// validate.mjs SCHEMA DOCUMENTS. Prints TAP without numbers.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const Ajv = createRequire(new URL("../browser/", import.meta.url))("ajv");
const [schema, documents] = process.argv.slice(2).map((name) => readFileSync(name, "utf8"));
const ajv = new Ajv({ strict: true, strictTypes: false, strictRequired: false, allowUnionTypes: true });
ajv.addKeyword("patternErrorMessage");
const validate = ajv.compile(JSON.parse(schema));
console.log("ok a strict validator compiles the schema");
let different = 0;
for (const line of documents.trimEnd().split("\n")) {
	const { name, valid, document } = JSON.parse(line);
	if (validate(document) !== valid) {
		different++;
		console.log(`# ${name}: ${ajv.errorsText(validate.errors)}`);
	}
}
console.log(`${different === 0 ? "ok" : "not ok"} both validators agree on every file`);
process.exitCode = different === 0 ? 0 : 1;
