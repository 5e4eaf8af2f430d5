import { useRef, useState } from 'react';
import { callApi } from '../api/call-api.ts';
import { idempotencyKey } from '../api/idempotency-key.ts';
import { useSeat } from './desk-context.ts';

export interface Order {
  readonly isSending: boolean;
  readonly failure: string | null;
  /** True once the server has done it. What has changed comes by push, to this screen as to all others. */
  send(path: string, body: unknown, method?: 'POST' | 'PUT'): Promise<boolean>;
}

/** Sends a person's order and tells how it went. One that got no answer keeps its key: pressed again, it is still done once. */
export function useOrder(): Order {
  const { words } = useSeat();
  const [isSending, setSending] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const unanswered = useRef<{ readonly what: string; readonly key: string } | null>(null);
  return {
    isSending,
    failure,
    async send(path, body, method = 'POST') {
      const what = path + JSON.stringify(body);
      const key = unanswered.current?.what === what ? unanswered.current.key : idempotencyKey();
      unanswered.current = { what, key };
      setSending(true);
      setFailure(null);
      const answer = await callApi(path, { method, body, key });
      setSending(false);
      if (answer.ok || answer.status !== 0) unanswered.current = null;
      if (!answer.ok) setFailure(answer.status === 0 ? words.alarms.failedUnreachable : `${words.alarms.failed} ${words.problem(answer.detail)}`.trim());
      return answer.ok;
    },
  };
}
