import { type Answer, callApi } from './call-api.ts';

export function acknowledgeAlarm(id: string): Promise<Answer<unknown>> {
  return callApi(`/api/alarms/${encodeURIComponent(id)}/acknowledge`, { method: 'POST', body: {} });
}

/** Refused with 409 while the cause is still present. */
export function resetAlarm(id: string): Promise<Answer<unknown>> {
  return callApi(`/api/alarms/${encodeURIComponent(id)}/reset`, { method: 'POST', body: {} });
}
