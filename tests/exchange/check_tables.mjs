// The CSV outputs follow the Table Schemas that the program prints, as an independent validator sees it (npm: tableschema), and
// rows that are changed in one place each are refused.
// Usage: check_tables.mjs PROGRAM PROJECT MODULES
import {execFileSync, spawnSync} from 'node:child_process';
import {existsSync, mkdtempSync, rmSync, writeFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {tmpdir} from 'node:os';
import {join} from 'node:path';

const [program, project, modules] = process.argv.slice(2);
if (!existsSync(join(modules ?? '', 'tableschema'))) {
  console.log('skipped: no npm package tableschema');
  process.exit(77);
}
const {Schema, Table} = createRequire(join(modules, 'x.js'))('tableschema');
const folder = mkdtempSync(join(tmpdir(), 'tracehold-tables-'));
process.on('exit', () => rmSync(folder, {recursive: true, force: true}));
const plan = join(project, 'examples/plan-home-a.jsonc');
const week = join(folder, 'week');
execFileSync(program, ['simulate', join(project, 'examples/scenarios/home-week.json'), '--plan', plan, '--out', week]);

function written(...words) {
  const done = spawnSync(program, words, {maxBuffer: 1 << 28});
  if (done.status > 1) throw new Error(`${words[0]} ended with ${done.status}: ${done.stderr}`);
  return done.stdout.toString();
}
const one = join(week, 'P-014_2026-03-02.csv');
const list = join(project, 'examples/sessions.csv');
const kTables = {
  session: written('score', week, '--plan', plan, '--sessions', list, '--quiet', '--format', 'csv'),
  course: written('course', week, '--plan', plan, '--sessions', list, '--quiet', '--format', 'csv'),
  weeks: written('course', week, '--plan', plan, '--sessions', list, '--quiet', '--format', 'weeks'),
  audit: written('audit', week, '--plan', plan, '--sessions', list, '--by', 'site', '--quiet', '--format', 'csv'),
  trace: written('export', one, '--plan', plan, '--quiet', '--format', 'csv').split('\n').slice(0, 4000).join('\n') + '\n',
};

// Cells of one line; quotes as in RFC 4180. No cell of these tables holds a line break.
const cells = line => [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].slice(0, line.split(',').length)
  .map(match => match[1].startsWith('"') ? match[1].slice(1, -1).replaceAll('""', '"') : match[1]);

let wrong = 0, refused = 0;
const fail = what => {
  ++wrong;
  console.log(`wrong: ${what}`);
};

async function problems(text, schema) {
  const path = join(folder, 'table.csv');
  writeFileSync(path, text);
  const table = await Table.load(path, {schema: await Schema.load(schema)});
  const found = [];
  try {
    const rows = await table.read({forceCast: true});
    for (const row of rows) if (row instanceof Error) found.push(row);
  } catch (error) {
    found.push(error);
  }
  return found;
}

const kChanges = {
  session: [['value', 'much'], ['cycle', '0'], ['cycle', '1.5'], ['status', 'ok'], ['measure', 'force_n'], ['unit', 'µV'], ['schema', ''], ['standard_error', '-1'], ['start', 'Monday']],
  course: [['value', '1,5'], ['date', '02.03.2026'], ['purpose', 'contest'], ['session', ''], ['contraction', 'pause']],
  weeks: [['iso_week', '54'], ['monday', 'Monday'], ['sessions', ''], ['counting', '-1'], ['longest_gap_days', '1.5'], ['schema', 'tracehold.course_weeks/2']],
  audit: [['share', '1.2'], ['numerator', '-1'], ['numerator', '<5'], ['for', 'all'], ['counts', 'cycles']],
  trace: [['time_s', ''], ['time_s', 'x'], ['phase', 'pause'], ['contraction', '0']],
};
const packed = JSON.parse(written('schema', 'datapackage'));
for (const [name, text] of Object.entries(kTables)) {
  const schema = JSON.parse(written('schema', `table-${name}`));
  const lines = text.trimEnd().split('\n');
  if (lines.length < (name === 'weeks' ? 2 : 5)) fail(`${name}: only ${lines.length} lines`);
  const header = cells(lines[0]);
  if (JSON.stringify(header) !== JSON.stringify(schema.fields.map(field => field.name))) fail(`${name}: the header is not that of the schema`);
  for (const problem of (await problems(text, schema)).slice(0, 5)) fail(`${name}: ${problem.message} ${(problem.errors ?? []).map(each => each.message).join('; ')}`);
  const resource = packed.resources.find(each => each.name === name);
  if (JSON.stringify(resource?.schema) !== JSON.stringify(schema)) fail(`${name}: the data package has another schema`);
  const keys = lines.slice(1).map(line => schema.primaryKey.map(key => cells(line)[header.indexOf(key)]).join('\u0000'));
  if (new Set(keys).size !== keys.length) fail(`${name}: the primary key is not unique`);
  for (const [column, value] of kChanges[name]) {
    const row = cells(lines[1]);
    row[header.indexOf(column)] = value;
    const changed = [lines[0], row.map(cell => /[",]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell).join(',')].join('\n') + '\n';
    const found = await problems(changed, schema);
    refused += found.length > 0;
    if (found.length === 0) fail(`${name}: accepted with ${column} = '${value}'`);
  }
}
console.log(`${Object.keys(kTables).length} tables, ${refused} changed rows refused, ${wrong} wrong`);
process.exit(wrong === 0 ? 0 : 1);
