import type { NotifyConfig, Recipient } from '../../domain/shift/server-config.ts';
import type { Accounts } from '../access/accounts.ts';
import { reaches } from '../access/reach.ts';
import type { Channel } from './channel.ts';
import type { Contacts } from './contacts.ts';
import type { NoticePlace } from './messages.ts';
import type { SealNotice } from './notice.ts';
import type { ChannelName, Delivery, NoticeStore, OpenNotice } from './notice-store.ts';
import { localTime, whoIsTold } from './who-is-told.ts';

/** Pauses before the second, third… try of a seal; the last one from then on. Nobody waits for it, but it has to arrive. */
export const SEAL_PAUSES_MS = [2_000, 15_000, 60_000, 300_000, 900_000, 3_600_000];
/** A mail relay that is down over a weekend is made up for. */
const GIVEN_UP_MS = 72 * 3_600_000;

interface SealParts {
  readonly notices: NoticeStore;
  readonly accounts: Accounts;
  readonly contacts: Contacts;
  readonly channelOf: (site: string, channel: ChannelName) => Channel | null;
}

interface SealPlace extends NoticePlace {
  readonly notify: NotifyConfig | null;
}

const IN_HAND: readonly Delivery['state'][] = ['waiting', 'sending'];

/** Begins the deliveries of a seal, and ends its notice when each of them is done; what became of them goes into the audit trail. */
export async function stepSeal(notice: OpenNotice<SealNotice>, place: SealPlace, parts: SealParts, now: number): Promise<void> {
  const { notices, accounts } = parts;
  if (notice.nextStep === 0) await notices.expand(notice, await deliveriesOf(notice, place, parts, now), { round: 0, nextStep: 1 });
  const deliveries = await notices.deliveries(notice.id);
  if (deliveries.some(({ state }) => IN_HAND.includes(state))) return;
  const taken = deliveries.filter(({ state }) => state === 'accepted').length;
  const why = deliveries.length === 0 ? 'nobody who gets seals has an address' : `handed over to ${taken} of ${deliveries.length}`;
  const { shift, root } = notice.seal;
  const results = deliveries.map(({ person, channel, target, state, result }) => ({ to: person ?? target, channel, state, result }));
  await notices.end(notice.id, now, why, () => accounts.trail.add({ atMs: now, by: 'potside', role: 'system', address: 'server', what: 'seal-told', site: notice.site, subject: shift, new: { root, results }, why }));
}

/** By e-mail and webhook only: a push would make a phone sound. Quiet hours are about sounds too, so they don't count here. */
async function deliveriesOf(notice: SealNotice, { notify, zone }: SealPlace, { accounts, contacts, channelOf }: SealParts, now: number): Promise<Parameters<NoticeStore['expand']>[1]> {
  if (!notify) return [];
  const people = (await accounts.users()).filter((one) => !one.disabled && reaches(one.sites, notice.site));
  const told = whoIsTold(notify.seals ?? usual(notify), people, notify.rotas, localTime(now, zone));
  const base = { notice: notice.id, round: 0, step: 0, digest: false, deadlineMs: now + GIVEN_UP_MS, nextMs: now, state: 'waiting' as const };
  const mail: Parameters<NoticeStore['expand']>[1][number][] = [];
  for (const person of told.people) {
    const { email } = await contacts.of(person);
    if (email !== null && channelOf(notice.site, 'email')) mail.push({ ...base, person, channel: 'email', target: email });
  }
  return [...mail, ...told.webhooks.map((target) => ({ ...base, person: null, channel: 'webhook' as const, target }))];
}

function usual({ webhooks }: NotifyConfig): Recipient[] {
  return [{ kind: 'role', id: 'safety-officer' }, { kind: 'role', id: 'manager' }, ...webhooks.map(({ id }): Recipient => ({ kind: 'webhook', id }))];
}
