import { useState } from 'react';
import { type Answer, type Call, callApi } from '../api/call-api.ts';
import { useSeat } from '../hooks/desk-context.ts';

export interface Request {
  readonly isSending: boolean;
  /** Why the last one failed, in words; empty where it did not. */
  readonly failure: string;
  send<T>(path: string, call: Call): Promise<Answer<T>>;
  fail(why: string): void;
}

/** Sends something whose answer is to be shown, and keeps why it failed. */
export function useRequest(): Request {
  const { words } = useSeat();
  const [isSending, setSending] = useState(false);
  const [failure, fail] = useState('');
  return {
    isSending,
    failure,
    fail,
    async send<T>(path: string, call: Call) {
      setSending(true);
      fail('');
      const answer = await callApi<T>(path, call);
      setSending(false);
      if (!answer.ok) fail(words.people.failed(words.problem(answer.detail)));
      return answer;
    },
  };
}
