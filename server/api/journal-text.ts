import type { AlarmState } from '../../domain/alarms/alarm.ts';
import type { AlarmHappening } from '../../domain/alarms/alarm-step.ts';
import { findUnit } from '../../domain/quantity/unit.ts';
import type { SettingChange } from '../../domain/site/site-effects.ts';
import type { JournalItem } from '../record/store.ts';
import { readyText } from './ready-text.ts';
import { sensorCheckWords } from './sensor-check-text.ts';

const STATE_WORDS: Readonly<Record<AlarmState, string>> = {
  normal: 'back to normal',
  unacknowledged: 'raised',
  acknowledged: 'acknowledged',
  'returned-to-normal-unacknowledged': 'back to normal, nobody acknowledged it yet',
  'latched-unacknowledged': 'cause gone, waits to be acknowledged and reset',
  'latched-acknowledged': 'cause gone, waits to be reset',
  shelved: 'shelved',
  'suppressed-by-design': 'suppressed by design',
  'out-of-service': 'out of service',
};

const HAPPENING_WORDS: Readonly<Partial<Record<AlarmHappening, string>>> = {
  'silenced-at-rig': 'taken at the rig',
  'out-confirmed': 'blaster out and accounted for, confirmed',
  shelved: 'shelved',
  unshelved: 'off the shelf',
  unsuppressed: 'no longer suppressed',
  'out-of-service': 'out of service',
  'in-service': 'back in service',
  reset: 'reset',
  closed: 'closed: its rule no longer applies',
};

type Detail = Record<string, string | number | boolean | null | undefined>;

/** One line for a person, from a row of the journal. */
export function journalText(row: JournalItem): string {
  return row.detail['drill'] === true ? `Drill: ${rowText(row)}` : rowText(row);
}

function rowText(row: JournalItem): string {
  const detail = row.detail as Detail;
  const by = detail['by'] ? ` by ${detail['by']}` : '';
  switch (row.kind) {
    case 'alarm':
      return `${detail['title'] ?? detail['name'] ?? 'Alarm'}: ${alarmWords(detail)}${by}`;
    case 'action':
      return `${actionWords(detail, row)}${by}${detail['refusal'] ? `, refused: ${detail['refusal']}` : ''}`;
    case 'config':
      return `Configuration ${String(detail['version']).slice(0, 12)} in force${by}${changesText(row.detail['changes'])}${detail['why'] ? `, because: ${detail['why']}` : ''}`;
    case 'unheard':
      return `Nothing was heard since ${new Date(Number(detail['fromMs'])).toISOString()}: the program did not run or could not record`;
    case 'found-later':
      return foundWords(detail);
    case 'quarantine':
      return `Not judged, set aside: ${detail['what']}: ${detail['reason']}`;
    case 'clock':
      return `The clock was set by ${detail['jumpMs'] ?? '?'} ms`;
  }
}

function changesText(changes: unknown): string {
  if (!Array.isArray(changes) || changes.length === 0) return '';
  const said = (value: SettingChange['old']): string => (value === null ? 'as shipped' : String(value));
  return `: ${(changes as SettingChange[]).map(({ setting, old, new: now }) => `${setting} from ${said(old)} to ${said(now)}`).join('; ')}`;
}

function alarmWords(detail: Detail): string {
  const state = detail['to'] as AlarmState;
  const said = HAPPENING_WORDS[detail['what'] as AlarmHappening];
  if (said !== undefined && detail['what'] !== 'reset') return state === 'unacknowledged' ? `${said}, announced anew` : said;
  const symbol = findUnit(String(detail['unit']))?.symbol ?? '';
  const value = state === 'unacknowledged' && typeof detail['value'] === 'number' && typeof detail['limit'] === 'number' ? `: ${detail['value']} ${symbol}, limit ${detail['limit']}` : '';
  return `${said ?? STATE_WORDS[state]}${value}`;
}

/** An excursion that nobody was told of while it lasted. */
function foundWords(detail: Detail): string {
  const symbol = findUnit(String(detail['unit']))?.symbol ?? '';
  const worst = typeof detail['value'] === 'number' ? `: ${detail['value']} ${symbol}${typeof detail['limit'] === 'number' ? `, limit ${detail['limit']}` : ''}` : '';
  const until = typeof detail['toMs'] === 'number' ? ` to ${new Date(detail['toMs']).toISOString()}` : ' on';
  return `Found later, in readings that came late: ${detail['title'] ?? detail['name']}${worst}, from ${new Date(Number(detail['fromMs'])).toISOString()}${until}`;
}

function actionWords(detail: Detail, row: JournalItem): string {
  const kind = String(detail['kind']).replaceAll('-', ' ');
  switch (String(detail['kind'])) {
    case 'acknowledge':
      return `acknowledge, ${detail['atRig'] ? 'at the rig' : 'away from the rig'}`;
    case 'hood-in':
    case 'hood-out':
      return `${kind}: ${detail['name']}`;
    case 'bump-test':
      return detail['minutes'] === 0 ? 'bump test ended' : `bump test for ${detail['minutes']} min`;
    case 'record-calibration':
    case 'record-bump-test':
      return sensorCheckWords(row);
    case 'entry':
      return [String(detail['entry']).replaceAll('-', ' '), detail['value'], detail['second'], detail['place'], detail['text']].filter((part) => part !== null && part !== undefined && part !== '').join(', ');
    case 'start-shift':
      return 'shift started';
    case 'end-shift':
      return 'shift ended';
    case 'change-setup':
      return `setup changed, ${detail['shift']}`;
    case 'hand-over':
      return `handed over to ${detail['to']}: ${detail['text']}`;
    case 'note':
      return `note: ${detail['text']}`;
    case 'add-photo':
      return `photo added, SHA-256 ${String(detail['photo']).slice(0, 12)}`;
    case 'correct':
      return `correction of ${detail['of']}${detail['sealed'] ? ', after the seal' : ''}: ${detail['text']}`;
    case 'sign-off':
      return `${detail['shift']} signed as ${detail['role']}: ${detail['meaning']}`;
    case 'seal-shift':
      return `${detail['shift']} sealed, root ${String(detail['root']).slice(0, 16)}, key ${String(detail['fingerprint']).slice(0, 16)}`;
    case 'shelve':
      return `shelve, ${String(detail['reason']).replaceAll('-', ' ')}: ${detail['text']}, until ${new Date(Number(detail['untilMs'])).toISOString()}`;
    case 'out-of-service':
      return `out of service: ${detail['text']}, approved by ${detail['approvedBy']}, until ${new Date(Number(detail['untilMs'])).toISOString()}`;
    case 'ready-sign':
    case 'ready-fail':
    case 'ready-again':
    case 'ready-hold':
    case 'ready-begin':
    case 'ready-release':
      return readyText(detail);
    case 'start-drill':
      return `scenario ${detail['scenario']} started, seed ${detail['seed']}`;
    case 'end-drill':
      return `scenario ended${detail['because'] ? `: ${detail['because']}` : ''}`;
    case 'hold-record':
      return `${detail['shift']} ${detail['isHeld'] ? 'held: its readings are not erased' : 'no longer held'}: ${detail['reason']}`;
    case 'erase-readings':
      return `${detail['samples']} readings of before ${new Date(Number(detail['beforeMs'])).toISOString()} erased: ${detail['text']}`;
    case 'alarm-path':
      return `${detail['path']} ${detail['isDead'] ? 'lost' : 'back'}${detail['detail'] ? `: ${detail['detail']}` : ''}`;
    default:
      return kind;
  }
}
