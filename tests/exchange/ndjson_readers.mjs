// NDJSON as three other programs read it: jq, Miller and DuckDB come to the same counts and means as plain JavaScript.
// Usage: ndjson_readers.mjs PROGRAM PROJECT MODULES
import {execFileSync, spawnSync} from 'node:child_process';
import {existsSync, mkdtempSync, rmSync, writeFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {tmpdir} from 'node:os';
import {join} from 'node:path';

const [program, project, modules] = process.argv.slice(2);
const there = name => spawnSync(name, ['--version']).status === 0;
if (!there('jq') || !there('mlr') || !existsSync(join(modules ?? '', '@duckdb/node-api'))) {
  console.log('skipped: jq, Miller (mlr) or npm @duckdb/node-api is not there');
  process.exit(77);
}
const folder = mkdtempSync(join(tmpdir(), 'tracehold-ndjson-'));
process.on('exit', () => rmSync(folder, {recursive: true, force: true}));
const plan = join(project, 'examples/plan-home-a.jsonc');
const week = join(folder, 'week');
execFileSync(program, ['simulate', join(project, 'examples/scenarios/home-week.json'), '--plan', plan, '--out', week]);
const done = spawnSync(program, ['score', week, '--plan', plan, '--quiet', '--format', 'ndjson'], {maxBuffer: 1 << 28});
const text = done.stdout.toString();
const path = join(folder, 'week.ndjson');
writeFileSync(path, text);

const sessions = text.trimEnd().split('\n').map(line => JSON.parse(line));
const expected = sessions.map(each => [each.recording.start, each.session.done, each.session.measures.work_mean_uv.mean]);

const byJq = execFileSync('jq', ['-c', '[.recording.start, .session.done, .session.measures.work_mean_uv.mean]', path])
  .toString().trim().split('\n').map(line => JSON.parse(line));

const flat = execFileSync('mlr', ['--ijsonl', '--ojsonl', 'put', '-q',
  'row = {"start": $recording["start"], "done": $session["done"], "mean": $session["measures"]["work_mean_uv"]["mean"]}; emit row', path])
  .toString().trim().split('\n').map(line => JSON.parse(line));
const byMiller = flat.map(each => [each.start, each.done, each.mean === '' ? null : each.mean]);

const {DuckDBInstance} = createRequire(join(modules, 'x.js'))('@duckdb/node-api');
const connection = await (await DuckDBInstance.create(':memory:')).connect();
// One session's columns to every depth; a mean that no session has must not turn into text.
const result = await connection.runAndReadAll(
  `select recording.start::varchar as start, session.done as done, session.measures.work_mean_uv.mean as mean
   from read_json('${path}', format = 'newline_delimited', maximum_object_size = 67108864)`);
const byDuck = result.getRowObjectsJson().map(row => [row.start, Number(row.done), row.mean]);

let wrong = 0;
const same = (name, rows) => {
  const differ = rows.length !== expected.length || rows.some((row, i) => row[1] !== expected[i][1] || row[2] !== expected[i][2] ||
    String(row[0]).replace(' ', 'T') !== expected[i][0]);
  if (differ) {
    ++wrong;
    console.log(`wrong: ${name} reads ${JSON.stringify(rows)}, expected ${JSON.stringify(expected)}`);
  }
};
same('jq', byJq);
same('Miller', byMiller);
same('DuckDB', byDuck);
if (sessions.length !== 7) {
  ++wrong;
  console.log(`wrong: ${sessions.length} sessions`);
}
console.log(`${sessions.length} sessions, three readers, ${wrong} wrong`);
process.exit(wrong === 0 ? 0 : 1);
