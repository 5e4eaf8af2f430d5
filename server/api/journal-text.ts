import type { AlarmState } from '../../domain/alarms/alarm.ts';
import { findUnit } from '../../domain/quantity/unit.ts';
import type { JournalItem } from '../record/store.ts';

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

/** One line for a person, from a row of the journal. */
export function journalText(row: JournalItem): string {
  const detail = row.detail as Record<string, string | number | null | undefined>;
  const by = detail['by'] ? ` by ${detail['by']}` : '';
  switch (row.kind) {
    case 'alarm': {
      const state = detail['to'] as AlarmState;
      const symbol = findUnit(String(detail['unit']))?.symbol ?? '';
      const value = state === 'unacknowledged' && typeof detail['value'] === 'number' && typeof detail['limit'] === 'number' ? `: ${detail['value']} ${symbol}, limit ${detail['limit']}` : '';
      return `${detail['title'] ?? detail['name'] ?? 'Alarm'}: ${STATE_WORDS[state]}${by}${value}`;
    }
    case 'action':
      return `${String(detail['kind']).replaceAll('-', ' ')}${by}${detail['refusal'] ? `, refused: ${detail['refusal']}` : ''}`;
    case 'config':
      return `Configuration ${String(detail['version']).slice(0, 12)} in force`;
    case 'clock':
      return `The clock was set by ${detail['jumpMs'] ?? '?'} ms`;
  }
}
