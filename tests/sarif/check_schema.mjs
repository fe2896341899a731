// Holds SARIF logs against the schema (JSON Schema, 2020-12); says what is wrong, and ends with 1 where anything is.
//   node check_schema.mjs SCHEMA LOG…
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const require = createRequire(import.meta.url);
const Ajv = require('ajv/dist/2020').default;
const addFormats = require('ajv-formats').default;

const read = (path) => JSON.parse(readFileSync(path, 'utf8').replace(/^\uFEFF/, ''));
const [schema, ...logs] = process.argv.slice(2);
const ajv = new Ajv({ strict: false, allErrors: true });
addFormats(ajv);
const validate = ajv.compile(read(schema));

let wrong = 0;
for (const log of logs) {
  if (validate(read(log))) continue;
  wrong += 1;
  console.log(`${log}: ${ajv.errorsText(validate.errors)}`);
}
process.exitCode = wrong > 0 || logs.length === 0 ? 1 : 0;
