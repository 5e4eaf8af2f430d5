import { createContext, useCallback, useContext, useEffect, useMemo, useState } from 'react';
import { type DocumentChange, documentChanges } from '../../domain/wire/document-changes.ts';
import { parseSiteConfig } from '../../domain/wire/site-yaml.ts';
import { type HeldSettings, type SiteDocument, type TakesHold, readSettings, writeSettings } from '../api/settings.ts';
import { type Path, getAt, setAt } from './draft.ts';

/** The file as it was read, and what is changed of it here and not written yet. */
export interface SettingsDraft {
  readonly site: string;
  readonly held: HeldSettings;
  readonly document: SiteDocument;
  readonly changes: readonly DocumentChange[];
  /** What is wrong, by field: `rigs.0.hose.bore`. */
  readonly problems: ReadonlyMap<string, string>;
  readonly mayEdit: boolean;
  get(path: Path): unknown;
  set(path: Path, value: unknown): void;
  discard(): void;
  /** Null once it is written; else why it is not. */
  save(why: string, text?: string): Promise<SaveFailure | null>;
  readonly saved: TakesHold | null;
}

export interface SaveFailure {
  readonly isChangedMeanwhile: boolean;
  /** Empty where the server does not answer. */
  readonly detail: string;
}

const EMPTY: SiteDocument = {};

export const DraftContext = createContext<SettingsDraft | null>(null);

export function useDraft(): SettingsDraft {
  const draft = useContext(DraftContext);
  if (!draft) throw new Error('used outside of the settings');
  return draft;
}

export type Read = 'reading' | { readonly failure: string } | SettingsDraft;

/** The settings of a site; they are read once and again after each writing. Nothing is asked for where the role may not see them. */
export function useSettings(site: string, maySee: boolean, mayEdit: boolean): Read {
  const [held, setHeld] = useState<HeldSettings | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  const [edited, setEdited] = useState<SiteDocument | null>(null);
  const [saved, setSaved] = useState<TakesHold | null>(null);
  const read = useCallback(async () => {
    const answer = await readSettings(site);
    if (answer.ok) setHeld(answer.body);
    setFailure(answer.ok ? null : answer.detail);
  }, [site]);
  useEffect(() => {
    setHeld(null);
    setEdited(null);
    if (maySee) void read();
  }, [read, maySee]);

  const before = held?.document ?? EMPTY;
  const document = edited ?? before;
  const changes = useMemo(() => documentChanges(before, document), [before, document]);
  const problems = useMemo(() => problemsOf(document), [document]);
  if (!held) return failure === null && maySee ? 'reading' : { failure: failure ?? '' };
  return {
    site,
    held,
    document,
    changes,
    problems,
    mayEdit,
    saved,
    get: (path) => getAt(document, path),
    set: (path, value) => {
      setSaved(null);
      setEdited((was) => setAt(was ?? before, path, value));
    },
    discard: () => {
      setEdited(null);
      setSaved(null);
      void read();
    },
    save: async (why, text) => {
      const answer = await writeSettings(site, text === undefined ? { version: held.version, why, document } : { version: held.version, why, text });
      if (!answer.ok) return { isChangedMeanwhile: answer.status === 412, detail: answer.detail };
      setSaved(answer.body.takesHold);
      await read();
      setEdited(null);
      return null;
    },
  };
}

/** Judged here by the same schema as there: what is wrong shows while it is typed. */
export function problemsOf(document: unknown): ReadonlyMap<string, string> {
  const checked = parseSiteConfig(document);
  return new Map('problems' in checked ? checked.problems.map(({ path, message }) => [path.join('.'), message]) : []);
}
