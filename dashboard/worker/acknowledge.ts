import { alarmOrderPath } from '../api/alarm-orders.ts';
import { callApi } from '../api/call-api.ts';
import { idempotencyKey } from '../api/idempotency-key.ts';
import type { PushWords } from '../words/push-words.ts';

/** Takes an alarm from the phone, which is never the word from the rig. Null when it is taken, else why not, in words. */
export async function acknowledge(alarm: string, words: PushWords): Promise<string | null> {
  const answer = await callApi(alarmOrderPath(alarm, 'acknowledge'), { method: 'POST', body: { atRig: false }, key: idempotencyKey() });
  if (answer.ok) return null;
  if (answer.status === 401) return words.signIn;
  return answer.status === 0 ? words.noAnswer : words.refused(answer.detail);
}
