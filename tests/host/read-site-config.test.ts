import { describe, expect, it } from 'vitest';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import { SITE_YAML, testSite } from '../support/site.ts';

const broken = (from: string, to: string): string => {
  if (!SITE_YAML.includes(from)) throw new Error(`the test’s site has no ${from}`);
  return SITE_YAML.replace(from, to);
};

/** The test’s site with the one sensor of rig-a configured so. */
const source = (fields: string): string => broken('topic: line/pt-101, payload: json, value: /pressure, time: /ts, unit: "[psi]", every: 1s', `topic: line/pt-101, ${fields}`);
const spark = (topic: string, rest: string): string => source('payload: sparkplug' + rest).replace('line/pt-101', topic);

it('reads quantities with their units', () => {
  const { site, compressors, rigs } = testSite();
  expect(site).toMatchObject({ id: 'pier-9', name: 'Pier 9 fenders', zone: 'America/Chicago', elevation: 180 });
  expect(compressors[0]?.ratedFlow).toBeCloseTo(750 * (0.3048 ** 3 / 60), 12);
  expect(rigs[0]).toMatchObject({ vessel: { ratedPressure: 125 }, nozzle: { bore: (7 / 16) * 0.0254 }, wanted: { low: 90, high: 105 }, built: '7/16 in nozzle, 100 ft of 1 1/4 in hose, vessel rated 125 psi' });
  expect(rigs[0]?.points['supply-pressure']).toEqual({ topic: 'line/pt-101', payload: 'json', value: '/pressure', time: '/ts', name: null, unit: '[psi]', loop: null, everyMs: 1000 });
});

it('reads a loop’s range into the point’s unit', () => {
  const { rigs } = testSite(source('scale: 4-20mA, range: 0bar..10bar'));
  // 10 bar = 145.0377 psi (NIST SP 811).
  expect(rigs[0]?.points['supply-pressure']).toMatchObject({ payload: 'number', unit: 'mA', loop: { low: 0, high: expect.closeTo(145.0377, 4) } });
});

it.each([
  ['3/8in', '3/8 in nozzle'],
  ['10mm', '0.394 in nozzle'],
  ['1in', '1 in nozzle'],
])('says a bore of %s as it stands on the part', (bore, said) => {
  expect(testSite(broken('bore: 7/16in', `bore: ${bore}`)).rigs[0]?.built).toMatch(new RegExp(`^${said},`));
});

it('accepts other units and overrides of alarms', () => {
  const config = testSite(`${broken('rated-pressure: 125psi, volume', 'rated-pressure: 8.6bar, volume')}\nalarms:\n  co-high: { limit: 5ppm }\n  nozzle-pressure-low: { limit: 600kPa, on-delay: 10s }\n`);
  expect(config.rigs[0]?.vessel?.ratedPressure).toBeCloseTo(124.73, 2);
  expect(config.alarms['co-high']).toEqual({ limit: 5 });
  expect(config.alarms['nozzle-pressure-low']?.limit).toBeCloseTo(87.02, 2);
  expect(config.alarms['nozzle-pressure-low']?.onDelayMs).toBe(10_000);
});

describe('an error names file, line, field, what was found and what was expected', () => {
  it.each<[string, string, RegExp]>([
    ['a quantity without unit', broken('elevation: 180m', 'elevation: 180'), /site\.yaml:2: site\.elevation: "180" has no unit: expected a unit of length \(found 180\)/],
    ['a unit of another kind', broken('bore: 7/16in', 'bore: 7psi'), /site\.yaml:\d+: rigs\.0\.nozzle\.bore: .*is a pressure, expected a unit of length/],
    ['an unknown key', broken('name: Rig A', 'nmae: Rig A'), /site\.yaml:\d+: rigs\.0\.nmae: unknown key "nmae"/],
    ['an absolute pressure where gauge is meant', broken('rated-pressure: 125psi, volume', 'rated-pressure: 125psia, volume'), /rigs\.0\.vessel\.rated-pressure: .*absolute: expected a gauge pressure/],
    ['a zone that does not exist', broken('America/Chicago', 'Mars/Olympus'), /site\.zone: expected an IANA time zone/],
    ['a wildcard topic', broken('topic: line/pt-101', 'topic: "line/+"'), /points\.supply-pressure\.topic: expected an MQTT topic without \+ and #/],
    ['a point that is computed', broken('supply-pressure: {', 'line-loss: {'), /"line-loss" is not a measured point/],
    ['a point of another owner', broken('supply-pressure: {', 'ambient-humidity: {'), /ambient-humidity belongs to a site, not to a rig/],
    ['a sensor’s unit of the wrong kind', broken('unit: "[psi]"', 'unit: Cel'), /points\.supply-pressure\.unit: "Cel" is not a unit of pressure/],
    ['a scale without its range', source('scale: 4-20mA'), /supply-pressure\.scale: expected a range beside it.*\(found "4-20mA"\)/],
    ['a range without its scale', source('range: 0psi..200psi'), /supply-pressure\.range: a range belongs to scale: 4-20mA, which is missing/],
    ['a range of another kind', source('scale: 4-20mA, range: 0ppm..100ppm'), /supply-pressure\.range: .*is a fraction, expected a unit of pressure/],
    ['a range the wrong way round', source('scale: 4-20mA, range: 200psi..0psi'), /supply-pressure\.range: .*the low end must be below the high end/],
    ['an absolute range for a gauge pressure', source('scale: 4-20mA, range: 0psia..200psia'), /supply-pressure\.range: an absolute pressure: expected a gauge pressure/],
    ['another scale', source('scale: 0-10V, range: 0psi..200psi'), /supply-pressure\.scale: expected 4-20mA \(found "0-10V"\)/],
    ['a scaled value that is no current', source('scale: 4-20mA, range: 0psi..200psi, unit: "[psi]"'), /supply-pressure\.unit: "\[psi\]" is not a unit of current; expected a UCUM code, e\.g\. mA/],
    ['a state that is scaled', source('scale: 4-20mA, range: 0..1').replace('supply-pressure', 'remote-control'), /remote-control\.scale: .*on or off/],
    ['a pointer into a bare number', source('value: /pressure'), /supply-pressure\.value: belongs to payload json; this payload is number \(found "\/pressure"\)/],
    ['a payload nobody knows', source('payload: xml'), /supply-pressure\.payload: .*"number"/],
    ['a SenML pack without a name', source('payload: senml'), /supply-pressure\.payload: expected a name beside it.*\(found "senml"\)/],
    ['a name that SenML forbids', source('payload: senml, name: "blast hose"'), /supply-pressure\.name: expected a SenML name.*\(found "blast hose"\)/],
    ['a name in another form', source('payload: json, name: pt-101'), /supply-pressure\.name: belongs to payload senml or sparkplug; this payload is json/],
    ['Sparkplug without a metric', spark('line/edge-1', ''), /supply-pressure\.payload: expected a metric beside it.*\(found "sparkplug"\)/],
    ['Sparkplug with a whole topic', spark('spBv1.0/line/NDATA/edge-1', ', metric: pot'), /supply-pressure\.topic: expected <group>\/<edge node>/],
    ['Sparkplug with a group alone', spark('line', ', metric: pot'), /supply-pressure\.topic: expected <group>\/<edge node>/],
    ['a metric said twice', spark('line/edge-1', ', metric: pot, name: pot'), /supply-pressure\.name: says the same as metric/],
    ['a metric in another form', source('payload: json, metric: pot'), /supply-pressure\.metric: belongs to payload sparkplug; this payload is json/],
    ['a pointer into a SenML pack', source('payload: senml, name: pt-101, value: /v'), /supply-pressure\.value: belongs to payload json; this payload is senml/],
    ['a rig that is not there', broken('serves: [rig-a, rig-b]', 'serves: [rig-a, rig-x]'), /compressors\.0\.serves\.1: there is no rig "rig-x"/],
    ['an id taken twice', broken('- id: rig-b', '- id: rig-a'), /id "rig-a" is already taken by a rig/],
    ['a range the wrong way round', broken('90psi..105psi', '105psi..90psi'), /the low end must be below the high end/],
    ['an alarm that does not exist', `${SITE_YAML}\nalarms: { co-hihg: { limit: 5ppm } }\n`, /alarms\.co-hihg: no alarm of this name; expected one of co-high/],
    ['an alarm’s limit of the wrong kind', `${SITE_YAML}\nalarms: { co-high: { limit: 5psi } }\n`, /alarms\.co-high\.limit: .*is a pressure, expected a unit of fraction/],
    ['text that is not YAML', 'site: {', /site\.yaml:\d+: /],
  ])('%s', (_name, yaml, message) => {
    expect(() => parseSiteYaml(yaml, 'site.yaml')).toThrow(message);
  });

  it('for every problem at once', () => {
    expect(() => parseSiteYaml(broken('elevation: 180m', 'elevation: high').replace('zone: America/Chicago', 'zone: nowhere'), 'site.yaml')).toThrow(/site\.zone.*\n.*site\.elevation/);
  });
});

it('reads where the embedded broker listens, and the servers elsewhere', () => {
  const { listen, mqtt, uplinks } = testSite(`${SITE_YAML}mqtt: { listen: "0.0.0.0:8883", tls-cert: c.pem, tls-key: k.pem }\nuplinks: [{ url: "https://office.example:8443", token-file: t }]\n`);
  expect([mqtt, listen]).toEqual([null, { host: '0.0.0.0', port: 8883, certFile: 'c.pem', keyFile: 'k.pem' }]);
  expect(uplinks).toEqual([{ name: 'office.example:8443', url: 'https://office.example:8443', tokenFile: 't', caFile: null }]);
});

it.each([
  ['mqtt: { listen: "0.0.0.0:8883" }', /mqtt\.tls-cert: expected beside listen: beyond loopback the broker speaks TLS only/],
  ['mqtt: { listen: "8883", tls-cert: c, tls-key: k }', /mqtt\.listen: expected address:port/],
  ['mqtt: { url: "mqtt://x", listen: "0.0.0.0:8883" }', /mqtt\.url: expected either url/],
  ['mqtt: { url: "mqtt://x", tls-cert: c }', /mqtt\.tls-cert: belongs to listen/],
  ['mqtt: { url: "mqtts://x", other-brokers: ["mqtt://y"] }', /mqtt\.other-brokers: expected all brokers of a cluster alike/],
  ['mqtt: { url: "wss://x/mqtt", other-brokers: ["mqtts://y"] }', /mqtt\.other-brokers: expected all brokers of a cluster alike/],
  ['mqtt: { url: "mqtt://x", other-brokers: ["mqtt://y/z"] }', /mqtt\.other-brokers\.0: expected mqtt:\/\/ or mqtts:\/\//],
  ['mqtt: { url: "mqtt://x", other-brokers: ["mqtt://y:99999"] }', /mqtt\.other-brokers\.0: expected a host and a port/],
  ['mqtt: { url: "mqtt://x", other-brokers: ["mqtt://pt:secret@y"] }', /mqtt\.other-brokers\.0: expected mqtt/],
  ['mqtt: { listen: "0.0.0.0:8883", tls-cert: c, tls-key: k, other-brokers: ["mqtt://y"] }', /mqtt\.other-brokers: belongs to url/],
  ['points: { ambient-humidity: { topic: "$share/g/weather/rh" } }', /points\.ambient-humidity\.topic: expected an MQTT topic without \+ and #, and not shared/],
  ['uplinks: [{ url: "http://office.example", token-file: t }]', /uplinks\.0\.url: expected https/],
  ['uplinks: [{ url: "https://office.example" }]', /uplinks\.0\.token-file/],
  ['uplinks: [{ name: a, url: "https://x.example", token-file: t }, { name: a, url: "https://y.example", token-file: t }]', /uplinks\.1\.name: "a" names two uplinks/],
])('%s is refused with the field and what was expected', (line, said) => {
  expect(() => testSite(`${SITE_YAML}${line}\n`)).toThrow(said);
});
