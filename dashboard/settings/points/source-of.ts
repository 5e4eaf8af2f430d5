import type { Arriving } from '../../api/settings.ts';

/** Unix seconds between 2001 and 2128: what a field called so holds is a time. */
const TIME_NAME = /(^|\/)(t|ts|time|timestamp|at)$/i;

function isTime({ at, value }: { readonly at: string; readonly value: string }): boolean {
  const number = Number(value);
  return TIME_NAME.test(at) && number > 1e9 && number < 5e9;
}

/** The fields of a message that can be a point's value: numbers, and words that a switch says. */
export function pickable({ fields = [], form }: Arriving): readonly { readonly at: string; readonly value: string }[] {
  return fields.filter((field) => !isTime(field) && (Number.isFinite(Number(field.value)) || form === 'json'));
}

/** What the file says of a point that is fed by this topic, by this field of its message. */
export function sourceOf(heard: Arriving, field: string): Readonly<Record<string, string>> {
  switch (heard.form) {
    case 'json': {
      const time = (heard.fields ?? []).find(isTime)?.at;
      return { topic: heard.topic, payload: 'json', ...(field === '' ? {} : { value: field }), ...(time === undefined ? {} : { time }) };
    }
    case 'senml': return { topic: heard.topic, payload: 'senml', name: field };
    // `spBv1.0/<group>/<type of message>/<edge node>[/<device>]` (Sparkplug 3.0 §4.1).
    case 'sparkplug': return { topic: heard.topic.split('/').filter((_, index) => index !== 0 && index !== 2).join('/'), payload: 'sparkplug', metric: field };
    case 'number':
    case 'other': return { topic: heard.topic };
  }
}
