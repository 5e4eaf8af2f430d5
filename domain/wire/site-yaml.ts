import { z } from 'zod';
import type { AlarmRule } from '../alarms/rule.ts';
import { ALARM_TABLE } from '../alarms/table.ts';
import { type OwnerKind, findPointKind } from '../points/catalogue.ts';
import { convert, needUnit } from '../quantity/unit.ts';
import { parseQuantity, parseRange } from '../quantity/parse-quantity.ts';
import { LANGUAGE_CODES } from '../shift/language.ts';
import { PAYLOAD_FORMS, type AlarmOverride, type PointSource, type PointSources, type SiteConfig, type UplinkConfig } from '../shift/site-config.ts';
import { notifySchema, openIdSchema, pageSchema, toNotify, toOpenId } from './server-yaml.ts';
import { toPointSource } from './point-source-yaml.ts';
import { ownSteps, toOwnSteps } from './ready-yaml.ts';
import { quantity } from './yaml-quantity.ts';

/**
 * `site.yaml`: the form in which people configure a site. Quantities are written with their unit; unknown keys are errors.
 * The answer is a `SiteConfig`, already converted.
 */

const ID = /^[a-z0-9][a-z0-9-]{0,31}$/;
const id = z.string().regex(ID, 'expected 1 to 32 of a-z, 0-9 and -, beginning with a letter or digit');
const name = z.string().trim().min(1).max(80);

const pressure = quantity('pressure', '[psi]', 0, 1000);
/** A hundred years is longer than any rule asks. */
const keptFor = z.preprocess((written) => (written === 'keep' ? null : written), quantity('time', 'ms', 86_400_000, 36_525 * 86_400_000).nullable()).default(null);
const duration = quantity('time', 'ms', 0, 86_400_000);

const wantedRange = z.string().transform((written, context) => {
  try {
    const { low, high } = parseRange(written, 'pressure');
    const psi = needUnit('[psi]', 'pressure');
    return { low: convert(low.value, low.unit, psi), high: convert(high.value, high.unit, psi) };
  } catch (error) {
    context.addIssue({ code: 'custom', message: (error as Error).message });
    return z.NEVER;
  }
});

/** MQTT topic of one sensor: no wildcards, no control characters; nor a subscription shared with others (MQTT 5 §4.8.2), who would get some of its readings. */
const topic = z.string().min(1).max(256).regex(/^(?!\$share\/)[^+#\p{Cc}]+$/u, 'expected an MQTT topic without + and #, and not shared ($share/)');
const pointer = z.string().regex(/^(\/([^~/]|~[01])*)*$/, 'expected a JSON Pointer, e.g. /pressure (RFC 6901)');

const pointSource = z.strictObject({
  topic,
  payload: z.enum(PAYLOAD_FORMS).default('number'),
  value: pointer.optional(),
  time: pointer.optional(),
  name: z.string().min(1).max(256).optional(),
  metric: z.string().min(1).max(256).optional(),
  unit: z.string().optional(),
  scale: z.literal('4-20mA', 'expected 4-20mA').optional(),
  range: z.string().optional(),
  every: duration.optional(),
  status: z.strictObject({ topic, gone: z.string().min(1).max(64).default('offline') }).optional(),
});
export type WrittenPointSource = z.output<typeof pointSource>;

const points = z.record(z.string(), pointSource).default({});

const alarmOverride = z.strictObject({
  limit: z.union([z.string(), z.number()]).optional(),
  deadband: z.union([z.string(), z.number()]).optional(),
  'on-delay': duration.optional(),
  'off-delay': duration.optional(),
  'auto-acknowledge': z.boolean().optional(),
});

/** In clear only where nobody listens: a token that is read is a gateway that anybody can play. */
const serverUrl = z.string().refine(isServerUrl, 'expected https:// and a host without a path, e.g. https://office.example:8443; http:// only on 127.0.0.1');
const uplink = z.strictObject({ name: id.optional(), url: serverUrl, 'other-urls': z.array(serverUrl).max(8).optional(), 'token-file': z.string().min(1), 'ca-file': z.string().min(1).optional() });

const address = z.string().transform((text, context) => {
  const found = /^(?<host>[\w.-]+|\[[\da-fA-F:]+\]):(?<port>\d{1,5})$/.exec(text)?.groups;
  if (found?.['host'] !== undefined && Number(found['port']) <= 65_535) return { host: found['host'].replace(/^\[|\]$/g, ''), port: Number(found['port']) };
  context.addIssue({ code: 'custom', message: 'expected address:port, e.g. 0.0.0.0:8883' });
  return z.NEVER;
});
const BROKER = /^mqtts?:\/\/[^\s/@?#]+$/;
const otherBroker = z.string().regex(BROKER, 'expected mqtt:// or mqtts://, a host, and a port where it is not the usual one').refine((text) => URL.canParse(text), 'expected a host and a port up to 65535');
/** Either a broker elsewhere, or where the embedded one listens beyond loopback. */
const mqtt = z
  .strictObject({
    url: z.string().regex(/^(mqtts?|wss?):\/\/\S+$/, 'expected mqtt://, mqtts://, ws:// or wss:// and a host').optional(),
    username: z.string().optional(),
    'other-brokers': z.array(otherBroker).max(8).optional(),
    'password-file': z.string().optional(),
    'ca-file': z.string().optional(),
    listen: address.optional(),
    'tls-cert': z.string().min(1).optional(),
    'tls-key': z.string().min(1).optional(),
  })
  .superRefine((written, context) => {
    const wrong = (path: keyof typeof written, message: string): void => context.addIssue({ code: 'custom', path: [path], message });
    if ((written.url === undefined) === (written.listen === undefined)) return wrong('url', 'expected either url, a broker elsewhere, or listen, the embedded broker beyond loopback');
    if (written.url !== undefined) for (const field of ['tls-cert', 'tls-key'] as const) if (written[field] !== undefined) wrong(field, 'belongs to listen');
    // One in clear among them would take the password in clear too.
    const schemes = new Set([written.url ?? '', ...(written['other-brokers'] ?? [])].map((one) => one.split('//')[0]));
    if (written.url !== undefined && written['other-brokers'] && (!BROKER.test(written.url) || schemes.size > 1)) return wrong('other-brokers', 'expected all brokers of a cluster alike, as url: either mqtt:// or mqtts://, without a path or an account');
    if (written.listen === undefined) return;
    for (const field of ['other-brokers', 'username', 'password-file', 'ca-file'] as const) if (written[field] !== undefined) wrong(field, 'belongs to url');
    for (const field of ['tls-cert', 'tls-key'] as const) if (written[field] === undefined) wrong(field, 'expected beside listen: beyond loopback the broker speaks TLS only');
  });

const flood = z
  .strictObject({ 'starts-above': z.number().int().min(1).max(1000).default(10), 'ends-below': z.number().int().min(1).max(1000).default(5), window: duration.default(600_000) })
  .refine((set) => set['ends-below'] <= set['starts-above'], 'ends-below must not be more than starts-above');

/** What may stand in `site.yaml`; docs/configuration-reference.md is made from it. */
export const siteYamlSchema = z.strictObject({
  site: z.strictObject({
    id,
    name,
    zone: z.string().refine(isZone, 'expected an IANA time zone, e.g. America/Chicago'),
    elevation: quantity('length', 'm', -430, 5000).default(0),
    training: z.boolean().default(false),
    language: z.enum(LANGUAGE_CODES).default('en').describe('of messages to who chose none, and of the report of a shift'),
  }),
  mqtt: mqtt.optional(),
  uplinks: z.array(uplink).max(8).default([]),
  compressors: z
    .array(
      z.strictObject({
        id,
        name: name.optional(),
        'rated-flow': quantity('volume-flow', 'm3/s', 0, 5).optional(),
        'rated-pressure': pressure.optional(),
        'intake-bearing': quantity('angle', 'deg', 0, 360).optional(),
        serves: z.array(id).default([]),
        points,
      }),
    )
    .default([]),
  rigs: z
    .array(
      z.strictObject({
        id,
        name: name.optional(),
        vessel: z.strictObject({ 'rated-pressure': pressure, volume: quantity('volume', 'm3', 0.001, 100).optional() }).optional(),
        hose: z.strictObject({ bore: quantity('length', 'm', 0.005, 0.2), length: quantity('length', 'm', 0.5, 500) }).optional(),
        nozzle: z.strictObject({ bore: quantity('length', 'm', 0.001, 0.05) }).optional(),
        respirator: z.strictObject({ pressure: wantedRange }).optional(),
        wanted: z.strictObject({ 'nozzle-pressure': wantedRange }).optional(),
        points,
      }),
    )
    .min(1, 'expected at least one rig'),
  points,
  alarms: z.record(z.string(), alarmOverride).default({}),
  retention: z.strictObject({ exposure: keptFor, line: keptFor, computed: keptFor }).default({ exposure: null, line: null, computed: null }),
  regime: z.enum(['US', 'EN']).default('US'),
  flood: flood.optional(),
  page: pageSchema.optional(),
  'open-id': openIdSchema.optional(),
  notify: notifySchema.optional(),
  ready: ownSteps(duration).optional(),
});

type Written = z.output<typeof siteYamlSchema>;

export interface ConfigProblem {
  /** Keys and indexes from the root of the document to the field. */
  readonly path: readonly (string | number)[];
  /** What was expected, and what is wrong. */
  readonly message: string;
}

export type SiteConfigResult = { readonly config: SiteConfig } | { readonly problems: readonly ConfigProblem[] };

/** Checks and converts a parsed `site.yaml`. Reports every problem, not only the first. */
export function parseSiteConfig(document: unknown): SiteConfigResult {
  const parsed = siteYamlSchema.safeParse(document);
  if (!parsed.success) {
    return { problems: parsed.error.issues.flatMap((issue) => toProblems(issue)) };
  }
  const problems: ConfigProblem[] = [];
  const config = toConfig(parsed.data, problems);
  checkReferences(parsed.data, problems);
  return problems.length > 0 ? { problems } : { config };
}

/** Checks and converts changes of alarm settings, written as under `alarms:`. */
export function parseAlarmChanges(document: unknown): { readonly changes: Record<string, AlarmOverride> } | { readonly problems: readonly ConfigProblem[] } {
  const parsed = z.record(z.string(), alarmOverride).safeParse(document);
  if (!parsed.success) return { problems: parsed.error.issues.flatMap((issue) => toProblems(issue)) };
  const problems: ConfigProblem[] = [];
  const changes = toOverrides(parsed.data, problems);
  return problems.length > 0 ? { problems } : { changes };
}

function toProblems(issue: z.core.$ZodIssue): ConfigProblem[] {
  const path = issue.path.map((step) => (typeof step === 'symbol' ? String(step) : step));
  if (issue.code === 'unrecognized_keys') return issue.keys.map((key) => ({ path: [...path, key], message: `unknown key ${JSON.stringify(key)}` }));
  return [{ path, message: issue.message }];
}

function toConfig(written: Written, problems: ConfigProblem[]): SiteConfig {
  const sources = (kind: OwnerKind, at: (string | number)[], from: Written['points']): PointSources => toSources(kind, at, from, problems);
  return {
    site: written.site,
    ...toMqtt(written.mqtt),
    uplinks: toUplinks(written.uplinks, problems),
    compressors: written.compressors.map((compressor, index) => ({
      id: compressor.id,
      name: compressor.name ?? compressor.id,
      ratedFlow: compressor['rated-flow'] ?? null,
      ratedPressure: compressor['rated-pressure'] ?? null,
      intakeBearing: compressor['intake-bearing'] ?? null,
      serves: compressor.serves,
      points: sources('compressor', ['compressors', index, 'points'], compressor.points),
    })),
    rigs: written.rigs.map((rig, index) => ({
      id: rig.id,
      name: rig.name ?? rig.id,
      vessel: rig.vessel ? { ratedPressure: rig.vessel['rated-pressure'], volume: rig.vessel.volume ?? null } : null,
      hose: rig.hose ?? null,
      nozzle: rig.nozzle ?? null,
      respirator: rig.respirator?.pressure ?? null,
      wanted: rig.wanted?.['nozzle-pressure'] ?? null,
      built: describeBuild(rig),
      points: sources('rig', ['rigs', index, 'points'], rig.points),
    })),
    points: sources('site', ['points'], written.points),
    alarms: toOverrides(written.alarms, problems),
    retention: written.retention,
    regime: written.regime,
    flood: { startsAbove: written.flood?.['starts-above'] ?? 10, endsBelow: written.flood?.['ends-below'] ?? 5, windowMs: written.flood?.window ?? 600_000 },
    ...(written.ready === undefined || written.ready.length === 0 ? {} : { ready: toOwnSteps(written.ready) }),
    ...peopleConfig(written, problems),
  };
}

/** Absent where not written, so that what was configured before keeps its version. */
function peopleConfig(written: Written, problems: ConfigProblem[]): Pick<SiteConfig, 'page' | 'openId' | 'notify'> {
  const notify = written.notify && toNotify(written.notify);
  problems.push(...(notify?.unknown ?? []).map(({ path, message }) => ({ path: ['notify', ...path], message })));
  if (written['open-id'] && written.page === undefined) problems.push({ path: ['open-id'], message: 'expected page as well: the way back from the provider' });
  return {
    ...(written.page === undefined ? {} : { page: written.page }),
    ...(written['open-id'] ? { openId: toOpenId(written['open-id']) } : {}),
    ...(notify ? { notify: notify.config } : {}),
  };
}

function toMqtt(written: Written['mqtt']): Pick<SiteConfig, 'mqtt' | 'listen'> {
  const { url, listen, 'tls-cert': certFile, 'tls-key': keyFile } = written ?? {};
  return {
    mqtt: url === undefined ? null : { url, ...(written?.['other-brokers'] ? { otherUrls: written['other-brokers'] } : {}), username: written?.username ?? null, passwordFile: written?.['password-file'] ?? null, caFile: written?.['ca-file'] ?? null },
    listen: listen && certFile !== undefined && keyFile !== undefined ? { ...listen, certFile, keyFile } : null,
  };
}

function bare(url: string): string {
  return url.replace(/\/$/, '');
}

/** An uplink without a name is named for its host; the name keeps its place in the outbox. */
function toUplinks(written: Written['uplinks'], problems: ConfigProblem[]): UplinkConfig[] {
  const uplinks = written.map((uplink) => ({ name: uplink.name ?? new URL(uplink.url).host, url: bare(uplink.url), ...(uplink['other-urls'] ? { otherUrls: uplink['other-urls'].map(bare) } : {}), tokenFile: uplink['token-file'], caFile: uplink['ca-file'] ?? null }));
  uplinks.forEach(({ name: own }, index) => {
    if (own === 'here') problems.push({ path: ['uplinks', index, 'name'], message: '"here" is the server in the same process' });
    if (uplinks.findIndex(({ name: other }) => other === own) < index) problems.push({ path: ['uplinks', index, 'name'], message: `${JSON.stringify(own)} names two uplinks: give each a name of its own` });
  });
  return uplinks;
}

function toSources(owner: OwnerKind, at: (string | number)[], written: Written['points'], problems: ConfigProblem[]): PointSources {
  const sources: Record<string, PointSource> = {};
  for (const [pointId, source] of Object.entries(written)) {
    const kind = findPointKind(pointId);
    const path = [...at, pointId];
    if (!kind || kind.origin !== 'measured') problems.push({ path, message: `${JSON.stringify(pointId)} is not a measured point` });
    else if (kind.owner !== owner) problems.push({ path, message: `${pointId} belongs to a ${kind.owner}, not to a ${owner}` });
    else {
      const { source: read, problems: wrong } = toPointSource(source, kind);
      problems.push(...wrong.map(({ field, message }) => ({ path: [...path, field], message })));
      sources[pointId] = read;
    }
  }
  return sources;
}

function toOverrides(written: Written['alarms'], problems: ConfigProblem[]): Record<string, AlarmOverride> {
  const overrides: Record<string, AlarmOverride> = {};
  for (const [alarm, change] of Object.entries(written)) {
    const rule = ALARM_TABLE.find((entry) => entry.name === alarm);
    if (!rule) {
      problems.push({ path: ['alarms', alarm], message: `no alarm of this name; expected one of ${ALARM_TABLE.map((entry) => entry.name).join(', ')}` });
      continue;
    }
    // CO and loss of air ask for a person, always.
    if (change['auto-acknowledge'] && (rule.isAir || rule.latched)) problems.push({ path: ['alarms', alarm, 'auto-acknowledge'], message: 'this alarm asks for a person' });
    const limit = alarmNumber(rule, 'limit', change.limit, problems);
    const deadband = alarmNumber(rule, 'deadband', change.deadband, problems);
    overrides[alarm] = {
      ...(limit === undefined ? {} : { limit }),
      ...(deadband === undefined ? {} : { deadband }),
      ...(change['on-delay'] === undefined ? {} : { onDelayMs: change['on-delay'] }),
      ...(change['off-delay'] === undefined ? {} : { offDelayMs: change['off-delay'] }),
      ...(change['auto-acknowledge'] === undefined ? {} : { autoAcknowledge: change['auto-acknowledge'] }),
    };
  }
  return overrides;
}

/** A limit in the rule's unit; a deadband is a difference, so an offset unit is read as one. */
function alarmNumber(rule: AlarmRule, field: 'limit' | 'deadband', written: string | number | undefined, problems: ConfigProblem[]): number | undefined {
  if (written === undefined) return undefined;
  const kind = rule.measure ?? (rule.point === null ? undefined : findPointKind(rule.point));
  const hasField = rule.condition.kind === 'state' ? field === 'limit' && rule.condition.limit !== null : rule.condition.kind !== 'unknown';
  try {
    if (!kind || !hasField) throw new RangeError(`this alarm has no ${field}`);
    const dimension = field === 'deadband' && kind.dimension === 'temperature' ? 'temperature-difference' : kind.dimension;
    const read = parseQuantity(String(written), dimension);
    return convert(read.value, read.unit, needUnit(kind.unit, dimension));
  } catch (error) {
    problems.push({ path: ['alarms', rule.name, field], message: (error as Error).message });
    return undefined;
  }
}

function checkReferences(written: Written, problems: ConfigProblem[]): void {
  const taken = new Map<string, string>([[written.site.id, 'the site']]);
  const claim = (what: string, owner: string, path: (string | number)[]): void => {
    const other = taken.get(owner);
    if (other) problems.push({ path, message: `id ${JSON.stringify(owner)} is already taken by ${other}` });
    taken.set(owner, what);
  };
  written.compressors.forEach((compressor, index) => claim('a compressor', compressor.id, ['compressors', index, 'id']));
  written.rigs.forEach((rig, index) => claim('a rig', rig.id, ['rigs', index, 'id']));
  written.compressors.forEach((compressor, index) =>
    compressor.serves.forEach((rig, place) => {
      if (!written.rigs.some((known) => known.id === rig)) problems.push({ path: ['compressors', index, 'serves', place], message: `there is no rig ${JSON.stringify(rig)}` });
    }),
  );
}

function describeBuild(rig: Written['rigs'][number]): string {
  const parts = [];
  if (rig.nozzle) parts.push(`${inches(rig.nozzle.bore)} nozzle`);
  if (rig.hose) parts.push(`${Math.round(rig.hose.length / 0.3048)} ft of ${inches(rig.hose.bore)} hose`);
  if (rig.vessel) parts.push(`vessel rated ${rig.vessel['rated-pressure']} psi`);
  return parts.join(', ');
}

function isServerUrl(text: string): boolean {
  const url = URL.canParse(text) ? new URL(text) : null;
  if (!url || url.pathname !== '/' || url.search !== '' || url.username !== '') return false;
  return url.protocol === 'https:' || (url.protocol === 'http:' && ['127.0.0.1', '[::1]', 'localhost'].includes(url.hostname));
}

function isZone(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: zone });
    return true;
  } catch {
    return false;
  }
}

/** As it stands on the part: `3/8 in`, `1 1/4 in`; decimals for what is no sixteenth. */
function inches(metres: number): string {
  const value = metres / 0.0254;
  const sixteenths = Math.round(value * 16);
  if (Math.abs(value * 16 - sixteenths) > 0.01) return `${value.toFixed(3).replace(/\.?0+$/, '')} in`;
  const whole = Math.floor(sixteenths / 16);
  let [part, of] = [sixteenths % 16, 16];
  while (part > 0 && part % 2 === 0) [part, of] = [part / 2, of / 2];
  const fraction = part === 0 ? '' : `${part}/${of}`;
  return `${[whole === 0 && fraction !== '' ? '' : String(whole), fraction].filter((text) => text !== '').join(' ')} in`;
}
