// The published schemas as a second validator sees them: ajv for draft 2020-12, strict (an unknown keyword, a keyword without its
// type or a required key that is not defined is an error of the schema). What is accepted and refused comes from schema_reference.py.
//
// usage: check_schemas.mjs FOLDER MODULES PYTHON     FOLDER: the accepted outputs (tests/golden); MODULES: the npm packages
import {execFileSync} from 'node:child_process';
import {existsSync, readdirSync, readFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';

const [folder, modules, python] = process.argv.slice(2);
if (!modules || !existsSync(join(modules, 'ajv/dist/2020.js'))) {
  console.log('skipped: no ajv');
  process.exit(77);
}
const Ajv = createRequire(join(modules, 'x.js'))('ajv/dist/2020.js').default;

const wrong = [];
const compiled = new Map();
for (const file of readdirSync(folder).filter(name => name.endsWith('.schema.json'))) {
  const schema = JSON.parse(readFileSync(join(folder, file), 'utf8'));
  if (schema.$schema !== 'https://json-schema.org/draft/2020-12/schema') continue;  // tables have schemas of another kind
  try {
    compiled.set(file, new Ajv({strict: true}).compile(schema));
  } catch (error) {
    wrong.push(`${file}: ${error.message}`);
  }
}

const counts = {valid: 0, refused: 0};
const reference = join(dirname(fileURLToPath(import.meta.url)), 'schema_reference.py');
const cases = execFileSync(python, [reference, '--cases', folder], {encoding: 'utf8', maxBuffer: 1 << 30});
for (const line of cases.split('\n').filter(Boolean)) {
  const {name, schema, document, expected} = JSON.parse(line);
  ++counts[expected];
  if (!compiled.has(schema)) continue;  // told above
  const accepted = compiled.get(schema)(document);
  if (accepted !== (expected === 'valid')) wrong.push(`${name}: ${accepted ? 'accepted' : 'refused'}, but should be ${expected}`);
}
for (const line of wrong.slice(0, 60)) console.log(line);
console.log(`${compiled.size} schemas, ${counts.valid} accepted and ${counts.refused} refused documents; ${wrong.length} wrong`);
process.exit(wrong.length > 0 || compiled.size < 8 || counts.valid === 0 || counts.refused < 500 ? 1 : 0);
