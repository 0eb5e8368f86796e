// The FHIR outputs of the program pass the gate, and the gate sees every one of the errors planted here, each by itself.
// Usage: check_fhir.mjs PROGRAM PROJECT MODULES
import {execFileSync, spawnSync} from 'node:child_process';
import {copyFileSync, existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync} from 'node:fs';
import {tmpdir} from 'node:os';
import {join} from 'node:path';

import {loadGate} from './fhir_gate.mjs';

const [program, project, modules] = process.argv.slice(2);
if (!existsSync(join(modules ?? '', '@medplum/core'))) {
  console.log('skipped: no npm packages for FHIR');
  process.exit(77);
}

const folder = mkdtempSync(join(tmpdir(), 'tracehold-fhir-'));
process.on('exit', () => rmSync(folder, {recursive: true, force: true}));
const plan = join(project, 'examples/plan-home-a.jsonc');
const week = join(folder, 'week');
const environment = {...process.env, SOURCE_DATE_EPOCH: '1782500000'};

function run(...words) {
  const done = spawnSync(program, [...words, '--quiet'], {env: environment, maxBuffer: 1 << 28});
  if (done.status > 1) throw new Error(`${words[0]} ended with ${done.status}: ${done.stderr}`);  // 1: a recording of the week is rejected
  return done.stdout.toString();
}
const score = (...options) => run('score', week, '--plan', plan, '--format', 'fhir', ...options);
const lines = text => text.trim().split('\n').map(line => JSON.parse(line));

execFileSync(program, ['simulate', join(project, 'examples/scenarios/home-week.json'), '--plan', plan, '--out', week]);
const key = join(folder, 'clinic.key');
const keyOf = identity => identity === 'pseudonym' ? ['--key-file', key] : [];
execFileSync(program, ['key', 'new', key]);
const codeSystem = JSON.parse(execFileSync(program, ['schema', 'fhir-codes']));
const gate = loadGate(modules, codeSystem);

let wrong = 0;
const expect = (truth, what) => {
  if (!truth) {
    ++wrong;
    console.log(`wrong: ${what}`);
  }
};
const passes = (name, output) => {
  const found = gate(output);
  for (const what of found.slice(0, 10)) console.log(`${name}: ${what}`);
  expect(found.length === 0, `${name} has ${found.length} errors`);
};

const text = score();
const collection = JSON.parse(text);
passes('collection', collection);
passes('code system', [codeSystem]);
const count = type => collection.entry.filter(entry => entry.resource.resourceType === type).length;
expect(count('Device') === 1 && count('Observation') === 7 && count('DiagnosticReport') === 7 && count('Provenance') === 7, 'not 7 sessions by one program');
expect(score() === text, 'two runs differ');
expect(score('--jobs', '1') === text, 'the number of jobs shows');
passes('transaction', JSON.parse(score('--fhir-as', 'transaction')));
passes('ndjson', lines(score('--fhir-as', 'ndjson')));
for (const identity of ['pseudonym', 'anonymous']) {
  const hidden = JSON.parse(score('--identity', identity, ...keyOf(identity)));
  passes(identity, hidden);
  const tag = {pseudonym: 'PSEUDED', anonymous: 'ANONYED'}[identity];
  const said = hidden.entry.map(entry => entry.resource).filter(resource => resource.resourceType !== 'Device');
  expect(said.every(resource => resource.meta.security[0].code === tag), `not all of ${identity} say ${tag}`);
  expect(!JSON.stringify(hidden).includes('P-014'), `${identity} names the person`);
}
const copied = join(folder, 'copied');
mkdirSync(copied);
for (const name of ['a.csv', 'b.csv']) copyFileSync(join(week, 'P-014_2026-03-02.csv'), join(copied, name));
for (const options of [[], ['--identity', 'pseudonym', '--key-file', key], ['--fhir-as', 'transaction'], ['--by-person']]) {
  const twice = JSON.parse(run(options[0] === '--by-person' ? 'course' : 'score', copied, '--plan', plan, '--format', 'fhir', ...options));
  passes(`a copy, ${options}`, twice);
  expect(twice.entry.filter(entry => entry.resource.resourceType === 'DiagnosticReport').length === 1, `a copy has a report of its own, ${options}`);
}
execFileSync(program, ['score', join(week, 'P-014_2026-03-02.csv'), '--plan', plan, '--quiet', '--format', 'fhir', '--out', join(folder, 'out/')], {env: environment});
passes('a file in a folder', JSON.parse(readFileSync(join(folder, 'out', readdirSync(join(folder, 'out'))[0]))));

// The rejected recording has reasons where the others have values; and every input's hash is its own.
const observations = collection.entry.map(entry => entry.resource).filter(resource => resource.resourceType === 'Observation');
const rejected = observations.filter(each => each.dataAbsentReason?.coding[0].code === 'error');
expect(rejected.length === 1, 'not one rejected session');
expect(rejected[0]?.component.some(each => each.dataAbsentReason?.coding[0].code === 'error'), 'a rejected session gives values');
expect(!observations.some(each => each.component.some(part => part.valueQuantity && !Number.isFinite(part.valueQuantity.value))), 'a value is no number');
const hashes = readdirSync(week).filter(name => !name.endsWith('.json'))
  .map(name => execFileSync('sha256sum', [join(week, name)]).toString().slice(0, 64))
  .map(hex => `ni:///sha-256;${Buffer.from(hex, 'hex').toString('base64url')}`);
const named = collection.entry.map(entry => entry.resource).filter(resource => resource.resourceType === 'Provenance')
  .flatMap(resource => resource.entity).map(entity => entity.what.identifier.value);
expect(hashes.every(hash => named.includes(hash)), 'a recording is not named by its SHA-256');

// A course of weeks, from recordings and from their results; its sessions are those of 'score', by identifier.
const months = join(folder, 'months');
execFileSync(program, ['simulate', join(project, 'examples/scenarios/course-p014.json'), '--plan', plan, '--out', months]);
const results = join(folder, 'months.ndjson');
writeFileSync(results, run('score', months, '--plan', plan, '--format', 'ndjson'));
const course = (input, ...options) => run('course', input, '--format', 'fhir', ...options);
const courseText = course(results);
const weeks = JSON.parse(courseText);
passes('course', weeks);
expect(course(results) === courseText, 'two runs of a course differ');
expect(course(results, '--jobs', '1') === courseText, 'the number of jobs shows in a course');
passes('course as transaction', JSON.parse(course(results, '--fhir-as', 'transaction')));
passes('course as ndjson', lines(course(results, '--fhir-as', 'ndjson')));
passes('course of a week', JSON.parse(course(week, '--plan', plan)));
passes('courses of several people', JSON.parse(course(results, week, '--by-person')));
const resources = (bundle, type) => bundle.entry.map(entry => entry.resource).filter(resource => resource.resourceType === type);
const sessionsOf = bundle => new Set(resources(bundle, 'Observation').flatMap(each => each.derivedFrom ?? []).map(each => each.identifier.value));
for (const identity of ['keep', 'pseudonym', 'anonymous']) {
  const hiding = ['--identity', identity, ...keyOf(identity)];
  const hidden = JSON.parse(course(months, '--plan', plan, ...hiding));
  passes(`course, ${identity}`, hidden);
  const scored = JSON.parse(run('score', months, '--plan', plan, '--format', 'fhir', ...hiding));
  const known = new Set(resources(scored, 'Observation').map(each => each.identifier[0].value));
  const used = sessionsOf(hidden);
  expect(used.size > 20 && [...used].every(id => known.has(id)), `a course (${identity}) rests on sessions that 'score' does not know`);
  if (identity === 'keep') continue;
  const tag = {pseudonym: 'PSEUDED', anonymous: 'ANONYED'}[identity];
  expect(hidden.entry.every(({resource}) => resource.resourceType === 'Device' || resource.meta.security[0].code === tag), `not all of a course say ${tag}`);
  expect(!JSON.stringify(hidden).includes('P-014'), `a course (${identity}) names the person`);
  expect(identity !== 'anonymous' || !/2026-0[345]/.test(JSON.stringify(hidden)), 'an anonymous course has dates');
}
const statements = resources(weeks, 'Observation').map(each => each.valueCodeableConcept?.coding[0].code).filter(Boolean);
const told = JSON.parse(run('course', results, '--format', 'json'));
const wanted = told.phases.flatMap(phase => Object.values(phase.measures)).map(each => each.statement ?? (each.current === null ? null : 'described_only')).filter(Boolean);
expect(JSON.stringify(statements) === JSON.stringify(wanted) && wanted.includes('more'), `the course states ${statements}, in JSON ${wanted}`);

// One error each, in a small valid bundle: the software and one session.
const small = {...collection, entry: collection.entry.slice(0, 4)};
passes('small', small);
const part = (bundle, type) => bundle.entry.map(entry => entry.resource).find(resource => resource.resourceType === type);
const observation = bundle => part(bundle, 'Observation');
const valued = bundle => observation(bundle).component.find(each => each.valueQuantity);
const kPlanted = {
  'status missing': b => { delete observation(b).status; },
  'status unknown': b => { observation(b).status = 'done'; },
  'status final': b => { part(b, 'DiagnosticReport').status = 'final'; },
  'code missing': b => { delete part(b, 'DiagnosticReport').code; },
  'number as text': b => { valued(b).valueQuantity.value = '21.4'; },
  'misspelt key': b => { observation(b).componnent = []; },
  'two values': b => { valued(b).valueString = 'much'; },
  'date of another order': b => { observation(b).effectiveDateTime = '02/03/2026'; },
  'time without zone': b => { observation(b).effectiveDateTime = '2026-03-02T07:40:00'; },
  'object for a list': b => { observation(b).category = observation(b).category[0]; },
  'reference to another type': b => { part(b, 'DiagnosticReport').result[0].reference = b.entry[0].fullUrl; },
  'reference to nothing': b => { observation(b).device.reference = 'urn:uuid:00000000-0000-4000-8000-000000000000'; },
  'null for a number': b => { valued(b).valueQuantity.value = null; },
  'value and reason for none': b => { valued(b).dataAbsentReason = {coding: [{system: 'http://terminology.hl7.org/CodeSystem/data-absent-reason', code: 'unknown'}]}; },
  'neither value nor reason': b => { delete valued(b).valueQuantity; },
  'empty list': b => { observation(b).note = []; },
  'resource unknown': b => { observation(b).resourceType = 'Observations'; },
  'period that ends before it starts': b => { delete observation(b).effectiveDateTime; observation(b).effectivePeriod = {start: '2026-03-02T08:00:00Z', end: '2026-03-02T07:00:00Z'}; },
  'unit that is no UCUM': b => { valued(b).valueQuantity.code = 'µV'; },
  'unit of another measure': b => { valued(b).valueQuantity.code = 's'; },
  'unit without a system': b => { delete valued(b).valueQuantity.system; },
  'instant given as a date': b => { part(b, 'Provenance').recorded = '2026-03-02'; },
  'provenance of nothing': b => { delete part(b, 'Provenance').target; },
  'provenance by nobody': b => { delete part(b, 'Provenance').agent[0].who; },
  'observation without provenance': b => { part(b, 'Provenance').target.shift(); },
  'component without code': b => { delete valued(b).code; },
  'component twice': b => { observation(b).component.push(valued(b)); },
  'local code unknown': b => { valued(b).code.coding[0].code = 'force_n'; },
  'code under another name': b => { valued(b).code.coding[0].display = 'Force'; },
  'reason that is no reason': b => { const part = valued(b); delete part.valueQuantity; part.dataAbsentReason = {coding: [{code: 'nan'}]}; },
  'entry without a name': b => { b.entry[1].fullUrl = 'observation-1'; },
  'two entries of one name': b => { b.entry[2].fullUrl = b.entry[1].fullUrl; },
  'a session twice': b => { b.entry.push(...b.entry.slice(1)); },
  'request in a collection': b => { b.entry[1].request = {method: 'POST', url: 'Observation'}; },
  'transaction without a request': b => { b.type = 'transaction'; },
  'bundle without a type': b => { delete b.type; b.kind = 'collection'; },
};
// And in a course.
const changed = bundle => bundle.entry.map(entry => entry.resource).find(each => each.valueCodeableConcept?.coding[0].code === 'more');
const component = (observation, code) => observation.component.find(each => each.code.coding[0].code === code);
const adherence = bundle => bundle.entry.map(entry => entry.resource).find(each => each.code?.coding[0].code === 'course_adherence');
const kPlantedInCourse = {
  'course: status final': b => { changed(b).status = 'final'; },
  'course: code missing': b => { delete changed(b).code; },
  'course: statement within the error': b => { component(changed(b), 'change').valueQuantity.value = 0.1; },
  'course: statement without the account': b => { component(changed(b), 'p_adjusted').valueQuantity.value = 0.2; },
  'course: statement unknown': b => { changed(b).valueCodeableConcept.coding[0].code = 'better'; },
  'course: statement under another name': b => { changed(b).valueCodeableConcept.coding[0].display = 'Better'; },
  'course: statement and reason for none': b => { changed(b).dataAbsentReason = {coding: [{system: 'http://terminology.hl7.org/CodeSystem/data-absent-reason', code: 'unknown'}]}; },
  'course: neither statement nor reason': b => { delete changed(b).valueCodeableConcept; },
  'course: value in another unit': b => { component(changed(b), 'current').valueQuantity.code = 's'; },
  'course: change in another unit': b => { component(changed(b), 'change').valueQuantity.code = 'uV'; },
  'course: slope without its week': b => { component(changed(b), 'slope_per_week').valueQuantity.code = '%'; },
  'course: unit that is no UCUM': b => { component(changed(b), 'slope_per_week').valueQuantity.code = '%/week'; },
  'course: interval that ends before it starts': b => { const range = component(changed(b), 'change_ci95').valueRange; [range.low, range.high] = [range.high, range.low]; },
  'course: period that ends before it starts': b => { changed(b).effectivePeriod = {start: '2026-04-02', end: '2026-03-02'}; },
  'course: date of another order': b => { changed(b).effectivePeriod.start = '02.03.2026'; },
  'course: no sessions': b => { delete changed(b).derivedFrom; },
  'course: a session without identifier': b => { delete changed(b).derivedFrom[0].identifier.value; },
  'course: null for a number': b => { component(changed(b), 'change').valueQuantity.value = null; },
  'course: number as text': b => { component(changed(b), 'baseline').valueQuantity.value = '14'; },
  'course: component twice': b => { changed(b).component.push(component(changed(b), 'change')); },
  'course: adherence in another unit': b => { adherence(b).valueQuantity.code = '1'; },
  'course: report of what is not there': b => { part(b, 'DiagnosticReport').result[0].reference = 'urn:uuid:00000000-0000-4000-8000-000000000000'; },
  'course: observation without provenance': b => { part(b, 'Provenance').target.pop(); },
  'course: two entries of one name': b => { b.entry[3].fullUrl = b.entry[2].fullUrl; },
};
let seen = 0;
const planted = [...Object.entries(kPlanted).map(each => [small, ...each]), ...Object.entries(kPlantedInCourse).map(each => [weeks, ...each])];
for (const [valid, name, plant] of planted) {
  const bundle = structuredClone(valid);
  plant(bundle);
  const found = gate(bundle);
  seen += found.length > 0;
  expect(found.length > 0, `the gate does not see: ${name}`);
}
console.log(`planted errors seen: ${seen} of ${planted.length}; ${observations.length} sessions; a course of ${sessionsOf(weeks).size} sessions in ${resources(weeks, 'Observation').length} observations; ${wrong} wrong`);
process.exit(wrong === 0 ? 0 : 1);
