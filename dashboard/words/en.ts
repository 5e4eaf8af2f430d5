import type { AlarmState } from '../../domain/alarms/alarm.ts';
import { terms } from '../../domain/words/en-terms.ts';
import type { InAnyLanguage } from '../../domain/words/in-any-language.ts';
import type { Role } from '../api/session.ts';
import { drill } from './en-drill.ts';
import { alarms, aside, journal, metrics, sound } from './en-alarms.ts';
import { people } from './en-people.ts';
import { ready } from './en-ready.ts';
import { settingsScreen } from './en-settings.ts';
import { sizing } from './en-sizing.ts';
import { rig } from './en-shift-figures.ts';
import { shifts } from './en-shifts.ts';

const states: Record<AlarmState, string> = {
  normal: 'back to normal',
  unacknowledged: 'nobody has it',
  acknowledged: 'in hand',
  'returned-to-normal-unacknowledged': 'over, not acknowledged',
  'latched-unacknowledged': 'over, nobody has it, held until reset',
  'latched-acknowledged': 'over, held until reset',
  shelved: 'shelved',
  'suppressed-by-design': 'suppressed',
  'out-of-service': 'out of service',
};

const { priorities, reasons } = terms;
const roles: Record<Role, string> = terms.roles;

/** English. Another language is another object of this type; nothing else on screen holds words, but names. */
export const en = {
  language: 'en',
  /** The locale in which days are named. */
  dates: 'en-GB',
  product: 'Potside',
  second: 's',
  minute: 'min',
  hour: 'h',
  fromTo: (from: string, to: string) => `${from} to ${to}`,
  /** A sentence of the server in this language; what a site or a person wrote stands as it is. The server speaks English. */
  told: (text: string): string => text,
  /** Why the server did not do something, from its own sentence. */
  problem: (detail: string): string => detail,
  /** A line of the journal. */
  journalLine: (text: string): string => text,
  reasons,
  priorities,
  states,
  roles,
  /** A role as the record has it: one that no longer exists stands as it was written. */
  roleNames: (role: string) => (roles as Readonly<Record<string, string>>)[role] ?? role,

  signIn: {
    demo: 'Names and passwords stand where the demo was started: in the window of the command, or on the page that opened it.',
    title: 'Sign in',
    about: 'The pot tender’s second pair of eyes.',
    name: 'Name',
    password: 'Password',
    submit: 'Sign in',
    working: 'Signing in…',
    refused: 'That name and password don’t match.',
    unreachable: 'The server doesn’t answer. Is this device on the site’s network?',
    failed: (status: number) => `The server could not do it (${status}).`,
    pin: 'PIN',
    withPin: (device: string) => `Sign in with a PIN on ${device}`,
    withPassword: 'Sign in with a password',
    code: 'Code of your authenticator app',
    codeNeeded: 'Your account asks for the code of your authenticator app as well.',
    withCode: 'I have a one-time code',
    codeAbout: 'An administrator gave you a one-time code. Choose a password with it that only you know.',
    newPassword: 'Your new password',
    codeSubmit: 'Take this password',
    company: (name: string) => `Sign in through ${name}`,
    first: 'Nobody can sign in yet. Make the first administrator with the one-time code that the server’s console shows.',
    firstCode: 'One-time code',
    firstSubmit: 'Make administrator',
  },
  signOut: 'Sign out',
  signedInAs: (name: string, role: string) => `${name}, ${role}`,

  advice: 'Potside watches and advises only. It does not replace the CO alarm, the deadman or a competent person.',
  replayBand: 'Replay',
  replayText: (record: string) => `of shift ${record}: nothing here happens now.`,
  demoBand: 'Demonstration',
  demoText: 'nothing here is real.',
  demoMore: 'Rigs and readings are made up, for training.',
  drill,
  notRecording: 'Not recording',
  notRecordingText: 'This shift is not being written down. What is shown now will be missing from the record.',
  screenLoading: 'Fetching this screen…',
  screenMissing: 'This screen could not be fetched. Load the page again.',
  chartMissing: 'The charts could not be fetched. Load the page again.',
  outdated: 'This page is older than the server. Load it again.',

  link: {
    live: 'Live',
    liveOldest: (age: string) => `oldest reading ${age}`,
    silentSensors: (n: number) => (n === 1 ? '1 sensor silent' : `${n} sensors silent`),
    connecting: 'Connecting',
    connectingLong: (age: string) => `No answer from the server for ${age}.`,
    catchingUp: 'Catching up',
    catchingUpText: 'Getting the present state. Values below may be old.',
    notLive: 'Not live',
    serverSilent: (age: string) => `Nothing from the server for ${age}. Everything below is old.`,
    gatewaySilent: (age: string) => `Nothing from the site’s sensors for ${age}. Everything below is old.`,
    lookYourself: 'Watch the gauges at the rig.',
    standsStill: 'This page stood still',
    standsStillText: 'What it shows is old. Watch the gauges at the rig.',
    sinceLost: (clock: string) => `as it was at ${clock}`,
  },

  alarms,
  aside,
  journal,
  metrics,
  sound,
  ready,
  people,
  sizing,
  settingsScreen,
  shifts,
  rig,

  margin: {
    below: (distance: string, limit: string) => `${distance} below limit ${limit}`,
    above: (distance: string, limit: string) => `${distance} above limit ${limit}`,
    over: (distance: string, limit: string) => `${distance} over limit ${limit}`,
    under: (distance: string, limit: string) => `${distance} under limit ${limit}`,
    at: (limit: string) => `at limit ${limit}`,
    short: (distance: string, limit: string, isAbove: boolean) => `${distance} ${isAbove ? 'above' : 'below'} ${limit}`,
  },
  age: (age: string) => `${age} old`,
  uncertain: 'not certain',
  noSensor: 'no sensor',
  noValue: '––',

  air: {
    region: 'Air to the hood',
    co: 'Carbon monoxide',
    pressure: 'Breathing pressure',
    oxygen: 'Oxygen',
    handle: 'Handle',
    held: 'Held',
    released: 'Released',
    cantSay: 'can’t say',
    noHandleSignal: 'no signal from the handle',
    blasting: 'Blasting',
    notBlasting: 'Not blasting',
    blastingUnknown: 'Blasting: can’t say',
    hood: 'Under the hood',
    nobodyLogged: 'nobody logged',
    since: (name: string, clock: string) => `${name} since ${clock}`,
    bumpTest: (clock: string) => `Bump test until ${clock}: CO raises no alarm here`,
    /** Letting go of the handle is what tries the deadman. */
    tried: (clock: string, seconds: string) => `Deadman last tried ${clock}: nozzle stopped in ${seconds} s`,
  },

  line: {
    region: 'Pressure along the line',
    compressor: 'Compressor',
    separator: 'Separator',
    machine: 'Blast machine',
    nozzle: 'Nozzle',
    rated: (value: string) => `vessel rated ${value}`,
    wanted: (low: string, high: string) => `wanted ${low} to ${high}`,
    supplyLow: (value: string) => `supply low ${value}`,
    expected: (value: string) => `expected ${value}`,
    /** An estimate with half its interval: `93 ± 3`. */
    computed: (value: string) => `computed ${value}`,
    computedIfFlow: (value: string) => `computed ${value}, if air flows`,
    needle: (value: string, clock: string) => `needle ${value} at ${clock}`,
    likely: (things: string) => `Likely: ${things}`,
    couldBe: (things: string) => `Could be: ${things}`,
    nozzleShut: 'nozzle shut',
    mostLostHere: 'most is lost here',
    description: (rig: string) => `Pressure from compressor to nozzle, ${rig}`,
    shift: (clock: string, by: string) => `shift since ${clock}, ${by}`,
    noShift: 'no shift started',
    recent: (minutes: number) => `short traces: last ${minutes} min`,
  },

  climate: {
    region: 'Steel and weather',
    steelMargin: 'Steel above dew point',
    steel: 'Steel',
    dewPoint: 'Dew point of the air',
    humidity: 'Humidity',
    airTemperature: 'Air',
    wind: 'Wind',
    windFrom: (direction: string) => `from ${direction}`,
    intake: 'Intake',
    intakeClear: 'not downwind',
    intakeDownwind: 'downwind of the work',
    timeLeft: (age: string) => `limit in about ${age}`,
    lineDewPoint: 'Line air dew point',
    atPressure: 'at line pressure',
    atAtmosphere: 'at one atmosphere',
    directions: ['N', 'NNE', 'NE', 'ENE', 'E', 'ESE', 'SE', 'SSE', 'S', 'SSW', 'SW', 'WSW', 'W', 'WNW', 'NW', 'NNW'],
  },

  shift: {
    region: 'The shift so far',
    pressure: 'Pressure',
    co: 'Carbon monoxide',
    steel: 'Steel above dew point',
    nozzle: 'nozzle',
    supply: 'blast machine',
    shaded: 'shaded: blasting',
    loading: 'Fetching the history…',
    noHistory: (why: string) => `No history: ${why}`,
    serverUnreachable: 'the server doesn’t answer',
  },

  settings: {
    region: 'Display',
    units: 'Units',
    us: 'psi °F',
    si: 'bar °C',
    theme: 'Light around you',
    themes: { light: 'Day', dark: 'Night', sun: 'Sun' },
    place: 'This device stands',
    places: { office: 'Elsewhere', rig: 'At the rig' },
    language: 'Language',
  },
  sites: {
    door: 'All sites',
    title: 'All sites',
    advice: 'Each site’s own server and the people there stay in charge of its alarms: what somebody takes in hand here is not taken in hand there.',
    sum: (calling: number, lost: number, all: number) => `${calling} with an alarm nobody has, ${lost} not live, of ${all}`,
    old: 'This list is old: the server doesn’t answer.',
    needy: 'Sites that need somebody, the worst first',
    quiet: 'No alarm stands',
    nothingStands: 'no alarm that is known of',
    more: (n: number) => `and ${n} more`,
    hasIt: (name: string, age: string) => `${name} has it, ${age}`,
    nobodyHasIt: (age: string) => `nobody has it, ${age}`,
    underHood: (n: number) => `${n} under the hood`,
    notLive: (age: string) => `Not live, nothing for ${age}`,
    neverHeard: 'nothing heard yet',
  },
  rigSwitch: 'Choose a rig',
  rigRows: 'All rigs',
  openRig: (name: string) => `${name}: show it large`,
  siteSwitch: 'Site',
  noRigs: 'This site has no rig yet.',
  menu: 'Menu',
  goTo: 'Go to',
};

/** The same keys with words of any language: a missing or a superfluous one does not compile. */
export type Words = InAnyLanguage<typeof en>;
