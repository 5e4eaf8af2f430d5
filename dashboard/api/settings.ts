import type { PayloadForm } from '../../domain/shift/site-config.ts';
import { type Answer, callApi } from './call-api.ts';

/** `site.yaml` as written: quantities are text with their unit. */
export type SiteDocument = Readonly<Record<string, unknown>>;

export interface HeldSettings {
  readonly file: string;
  readonly version: string;
  readonly text: string;
  /** Null where the text is no YAML. */
  readonly document: SiteDocument | null;
  /** What is wrong with the file as it stands. */
  readonly trouble: string | null;
  /** False where the file was changed by hand since it was read. */
  readonly inForce: boolean;
}

export type TakesHold = 'now' | 'restarting' | 'next-start';

/** A field of the file that somebody changed. */
export interface FieldChange {
  /** `alarms.co-rising.limit`. */
  readonly field: string;
  readonly at: string;
  readonly by: string;
  readonly old: unknown;
  readonly new: unknown;
  readonly why: string | null;
}

/** A topic that was heard. */
export interface Arriving {
  readonly topic: string;
  readonly count: number;
  readonly perMinute: number;
  readonly at: string;
  readonly sample: string;
  readonly form: PayloadForm | 'other';
  readonly fields?: readonly { readonly at: string; readonly value: string }[];
  readonly feeds: readonly string[];
  readonly trouble: string | null;
}

const of = (site: string): string => `/api/sites/${encodeURIComponent(site)}`;

export function readSettings(site: string): Promise<Answer<HeldSettings>> {
  return callApi(`${of(site)}/settings`);
}

export function writeSettings(site: string, body: { readonly version: string; readonly why: string } & ({ readonly document: SiteDocument } | { readonly text: string })): Promise<Answer<{ readonly version: string; readonly takesHold: TakesHold }>> {
  return callApi(`${of(site)}/settings`, { method: 'PUT', body });
}

export function readChanges(site: string): Promise<Answer<{ readonly items: readonly FieldChange[] }>> {
  return callApi(`${of(site)}/settings/changes`);
}

export function readArriving(site: string): Promise<Answer<{ readonly items: readonly Arriving[] }>> {
  return callApi(`${of(site)}/arriving`);
}

/** Lets the gateway hear topics that nobody mapped for the next minute. */
export function lookAround(site: string): Promise<Answer<{ readonly looking: boolean }>> {
  return callApi(`${of(site)}/arriving/look`, { method: 'POST' });
}

export function makeFirstSite(document: SiteDocument): Promise<Answer<{ readonly takesHold: TakesHold }>> {
  return callApi('/api/first-site', { method: 'POST', body: { document } });
}
