import type { Role } from '../../server/access/role.ts';

/** Who may call a route; written here by hand, so that a slip in the code's own table shows. */
export type Allowed = 'anyone' | readonly Role[];

const ALL: readonly Role[] = ['viewer', 'tender', 'supervisor', 'safety-officer', 'manager', 'administrator'];
const ALARMS: readonly Role[] = ['tender', 'supervisor', 'safety-officer', 'administrator'];
const AT_WORK: readonly Role[] = ['tender', 'supervisor', 'safety-officer'];
const RESET: readonly Role[] = ['supervisor', 'safety-officer', 'administrator'];
const OUT_OF_SERVICE: readonly Role[] = ['safety-officer', 'administrator'];
const SHIFTS: readonly Role[] = ['supervisor', 'administrator'];
const REFUSALS: readonly Role[] = ['supervisor', 'safety-officer', 'manager', 'administrator'];
const AUDIT: readonly Role[] = ['safety-officer', 'manager', 'administrator'];
const RECORD: readonly Role[] = ['tender', 'supervisor', 'safety-officer', 'manager', 'administrator'];
const SIGN: readonly Role[] = ['supervisor', 'safety-officer', 'manager'];
const TESTS: readonly Role[] = ['supervisor', 'safety-officer', 'administrator'];
const CHECK: readonly Role[] = ['tender', 'supervisor'];
const RELEASE: readonly Role[] = ['supervisor'];
const DRILLS: readonly Role[] = ['supervisor', 'safety-officer', 'administrator'];
/** A gateway's token, no person's role. */
const GATEWAYS: readonly Role[] = ['gateway'];
const ADMIN: readonly Role[] = ['administrator'];

export interface Expectation {
  readonly allowed: Allowed;
  /** Names something of a site: the address with a foreign one's must not find it. */
  readonly ofSite?: true;
  readonly body?: unknown;
  readonly query?: string;
  /** Sends the beginning of a PNG instead of JSON. */
  readonly png?: true;
}

/**
 * Every route of the API. A new one fails the matrix until it stands here. `:rig`, `:shift` and `:alarm` in a path are filled with those
 * of the site in question, other parameters with what is not there.
 */
export const ROUTES: Readonly<Record<string, Expectation>> = {
  'POST /api/session': { allowed: 'anyone', body: { name: 'nobody', password: 'nothing-at-all' } },
  'GET /api/session': { allowed: 'anyone' },
  'GET /api/ways-in': { allowed: 'anyone' },
  'POST /api/one-time-code': { allowed: 'anyone', body: { name: 'nobody', code: 'wrong', password: 'nothing-at-all' } },
  'DELETE /api/session': { allowed: 'anyone' },
  'GET /api/first-administrator': { allowed: 'anyone' },
  'POST /api/first-administrator': { allowed: 'anyone', body: { code: 'wrong', name: 'eve', password: 'nothing-at-all' } },
  'GET /api/open-id': { allowed: 'anyone' },
  'GET /api/open-id/start': { allowed: 'anyone' },
  'GET /api/open-id/back': { allowed: 'anyone' },
  'GET /api/health': { allowed: 'anyone' },
  'GET /api/ready': { allowed: 'anyone' },
  'GET /api/openapi.json': { allowed: 'anyone' },
  'GET /api/wall/:key': { allowed: 'anyone' },

  'GET /api/account': { allowed: ALL },
  'GET /api/sessions': { allowed: ALL },
  'DELETE /api/sessions/:id': { allowed: ALL },
  'POST /api/password': { allowed: ALL, body: { password: 'wrong-wrong', new: 'another-cedar-1' } },
  'POST /api/second-factor': { allowed: ALL },
  'PUT /api/second-factor': { allowed: ALL, body: { password: 'wrong-wrong', secret: 'A'.repeat(32), code: '000000' } },
  'DELETE /api/second-factor': { allowed: ALL, body: { password: 'wrong-wrong', code: '000000' } },

  'GET /api/people': { allowed: ADMIN },
  'POST /api/people': { allowed: ADMIN, body: { name: '', role: 'viewer' } },
  'POST /api/people/:name': { allowed: ADMIN, body: {} },
  'POST /api/people/:name/one-time-code': { allowed: ADMIN },
  'GET /api/people/:name/contact': { allowed: ADMIN },
  'PUT /api/people/:name/contact': { allowed: ADMIN, body: { email: null, quiet: null } },
  'GET /api/tokens': { allowed: ADMIN },
  'POST /api/tokens': { allowed: ADMIN, body: { name: '', role: 'viewer' } },
  'DELETE /api/tokens/:name': { allowed: ADMIN },
  'GET /api/screens': { allowed: SHIFTS },
  'POST /api/screens': { allowed: SHIFTS, ofSite: true, body: { kind: 'wall', name: 'hall', site: ':site' } },
  'DELETE /api/screens/:id': { allowed: SHIFTS },
  'GET /api/audit': { allowed: AUDIT },
  'GET /api/audit/export': { allowed: AUDIT },
  'GET /api/audit/verify': { allowed: AUDIT },

  'GET /api/notices': { allowed: ALL },
  'GET /api/notice-plans': { allowed: ALL },
  'POST /api/notices/test': { allowed: TESTS, ofSite: true, body: { site: ':site' } },
  'GET /api/contact': { allowed: ALL },
  'PUT /api/contact': { allowed: ALL, body: { email: null, quiet: null } },
  'GET /api/push-key': { allowed: ALL },
  'GET /api/push-subscriptions': { allowed: ALL },
  'POST /api/push-subscriptions': { allowed: ALL, body: { endpoint: 'http://127.0.0.1/', keys: { p256dh: 'a', auth: 'a' } } },
  'DELETE /api/push-subscriptions/:id': { allowed: ALL },

  'GET /api/sites': { allowed: ALL },
  'GET /api/rigs': { allowed: ALL },
  'GET /api/rigs/:rig/points': { allowed: ALL, ofSite: true },
  'GET /api/rigs/:rig/under-hood': { allowed: ALL, ofSite: true },
  'GET /api/rigs/:rig/trace': { allowed: ALL, ofSite: true, query: '?points=breathing-air-co' },
  'GET /api/alarms': { allowed: ALL },
  'GET /api/alarms/metrics': { allowed: ALL },
  'POST /api/alarms/:id/acknowledge': { allowed: ALARMS, ofSite: true },
  'POST /api/alarms/:id/confirm-out': { allowed: AT_WORK, ofSite: true },
  'POST /api/alarms/:id/reset': { allowed: RESET, ofSite: true },
  'POST /api/alarms/:id/shelve': { allowed: RESET, ofSite: true, body: { reason: 'sensor-faulty', text: 'matrix', minutes: 5 } },
  'POST /api/alarms/:id/unshelve': { allowed: RESET, ofSite: true },
  'POST /api/alarms/:id/out-of-service': { allowed: OUT_OF_SERVICE, ofSite: true, body: { until: '2026-06-02T00:00:00Z', approvedBy: 'nobody', text: 'matrix' } },
  'POST /api/alarms/:id/in-service': { allowed: OUT_OF_SERVICE, ofSite: true },
  'GET /api/journal': { allowed: ALL },
  'GET /api/shifts': { allowed: ALL },
  'GET /api/shifts/:id': { allowed: ALL, ofSite: true },
  'GET /api/shifts/:id/trace': { allowed: ALL, ofSite: true, query: '?points=breathing-air-co' },
  'GET /api/shifts/:id/entries': { allowed: ALL, ofSite: true },
  'GET /api/shifts/:id/photos/:photo': { allowed: ALL, ofSite: true },
  'POST /api/shifts/:id/photos': { allowed: RECORD, ofSite: true, png: true },
  'PUT /api/shifts/:id/setup': { allowed: RECORD, ofSite: true, body: {} },
  'POST /api/shifts/:id/handover': { allowed: RECORD, ofSite: true, body: { to: 'Kim', text: 'matrix' } },
  'POST /api/shifts/:id/notes': { allowed: RECORD, ofSite: true, body: { text: 'matrix' } },
  'POST /api/shifts/:id/corrections': { allowed: RECORD, ofSite: true, body: { of: 'crew', text: 'matrix' } },
  'POST /api/shifts/:id/sign-off': { allowed: SIGN, ofSite: true, body: { meaning: 'approved' } },
  'POST /api/shifts': { allowed: SHIFTS, ofSite: true, body: { rig: ':rig' } },
  'POST /api/shifts/:id/end': { allowed: SHIFTS, ofSite: true },
  'POST /api/rigs/:rig/hood-in': { allowed: ALARMS, ofSite: true, body: { name: 'Ray' } },
  'POST /api/rigs/:rig/hood-out': { allowed: ALARMS, ofSite: true, body: { name: 'Ray' } },
  'POST /api/rigs/:rig/bump-test': { allowed: ALARMS, ofSite: true, body: { minutes: 0 } },
  'POST /api/rigs/:rig/entries': { allowed: ALARMS, ofSite: true, body: { kind: 'blotter' } },
  'GET /api/rigs/:rig/readiness': { allowed: ALL, ofSite: true },
  'POST /api/rigs/:rig/readiness/sign': { allowed: CHECK, ofSite: true, body: { step: 'hoses' } },
  'POST /api/rigs/:rig/readiness/fail': { allowed: CHECK, ofSite: true, body: { step: 'hoses' } },
  'POST /api/rigs/:rig/readiness/again': { allowed: CHECK, ofSite: true, body: { event: 'moved' } },
  'POST /api/rigs/:rig/readiness/begin': { allowed: CHECK, ofSite: true, body: { sequence: 'before' } },
  'POST /api/rigs/:rig/readiness/hold': { allowed: CHECK, ofSite: true, body: {} },
  'POST /api/rigs/:rig/readiness/release': { allowed: RELEASE, ofSite: true },
  'POST /api/uplink/:site': { allowed: GATEWAYS, ofSite: true, body: { gateway: 'g1', epoch: 'e1', lane: 'live', after: 0, through: 0, sentAtMs: 1_780_315_200_000, readings: [], links: [] } },
  'POST /api/shifts/:id/rejudge': { allowed: REFUSALS, ofSite: true, body: { alarms: {} } },
  'GET /api/shifts/:id/hold': { allowed: ALL, ofSite: true },
  'POST /api/shifts/:id/hold': { allowed: OUT_OF_SERVICE, ofSite: true, body: { reason: 'matrix' } },
  'POST /api/proposals': { allowed: REFUSALS, ofSite: true, body: { site: ':site', alarms: {}, reason: 'matrix', shifts: [] } },
  'GET /api/shifts/:id/summary': { allowed: ALL, ofSite: true },
  'GET /api/shifts/:id/report.pdf': { allowed: ALL, ofSite: true },
  'GET /api/shifts/:id/record.zip': { allowed: ALL, ofSite: true },
  'GET /api/shifts/:id/trace.csv': { allowed: ALL, ofSite: true },
  'GET /api/shifts/:id/trace.parquet': { allowed: ALL, ofSite: true },
  'GET /api/drills': { allowed: ALL },
  'POST /api/sites/:site/drills': { allowed: DRILLS, ofSite: true, body: { scenario: 'demo' } },
  'DELETE /api/sites/:site/drills': { allowed: DRILLS, ofSite: true },
  'GET /api/proposals': { allowed: ALL },
  'POST /api/proposals/:id/put-into-force': { allowed: ADMIN },
  'POST /api/uplink/:site/report': { allowed: GATEWAYS, ofSite: true, body: {} },
  'GET /api/sites/:site/arriving': { allowed: REFUSALS, ofSite: true },
  'GET /api/sites/:site/gateway': { allowed: REFUSALS, ofSite: true },
  'GET /api/rigs/:rig/due': { allowed: ALL, ofSite: true },
  'GET /api/rigs/:rig/calibrations': { allowed: ALL, ofSite: true },
  'GET /api/rigs/:rig/bump-tests': { allowed: ALL, ofSite: true },
  'POST /api/rigs/:rig/calibrations': { allowed: ALARMS, ofSite: true, body: { point: 'breathing-air-co', certificate: 'C-17', doneAt: '2026-05-01T08:00:00Z', dueAt: '2026-11-01T08:00:00Z' } },
  'POST /api/rigs/:rig/bump-tests': { allowed: ALARMS, ofSite: true, body: { gas: { value: 50, unit: '[ppm]' }, passed: true } },
  'GET /api/sites/:site/settings': { allowed: REFUSALS, ofSite: true },
  'PUT /api/sites/:site/settings': { allowed: ADMIN, ofSite: true, body: { version: 'none', why: 'matrix', text: '' } },
  'GET /api/sites/:site/settings/changes': { allowed: REFUSALS, ofSite: true },
  'POST /api/sites/:site/arriving/look': { allowed: ADMIN, ofSite: true },
  'GET /api/first-site': { allowed: ADMIN },
  'POST /api/first-site': { allowed: ADMIN, body: { document: {} } },
  'GET /api/demonstration': { allowed: ADMIN },
  'POST /api/demonstration': { allowed: ADMIN },
  'DELETE /api/demonstration': { allowed: ADMIN },
  'GET /api/refusals': { allowed: REFUSALS },
  'GET /api/metrics': { allowed: ALL },
};
