import { isMap, parseDocument } from 'yaml';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import { documentChanges, isGroup } from '../../domain/wire/document-changes.ts';
import { parseSiteConfig } from '../../domain/wire/site-yaml.ts';
import type { Clock } from '../../host/clock.ts';
import { canonicalJson, hashOf } from '../../host/canonical-json.ts';
import { editSiteYaml } from '../../host/edit-site-yaml.ts';
import type { Log } from '../../host/log.ts';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import { FileChanged, type HeldText, type SiteFile } from '../../host/site-file.ts';
import { UserError } from '../../host/user-error.ts';
import type { Accounts } from '../access/accounts.ts';
import type { Doer } from '../access/identity.ts';
import { ProblemError, InvalidInput } from '../api/problem-error.ts';
import type { Site } from '../intake/site.ts';
import type { Store } from '../record/store.ts';
import { unreadableFiles } from './unreadable-files.ts';

/** What the program around the server offers for its settings. */
export interface SettingsHouse {
  /** The file of each site, by the site's id. */
  readonly files: ReadonlyMap<string, SiteFile>;
  /** Where the first site is written while there is none; null otherwise. */
  readonly first: SiteFile | null;
  /** A site has this configuration now: gateways in this process take it over. */
  onChanged(config: SiteConfig): void;
  /** Starts the program's parts anew; null where it takes somebody to do that. */
  readonly restart: (() => void) | null;
}

/** When a change takes hold: at once, in the seconds that the parts take to start anew, or when somebody starts the program anew. */
export type TakesHold = 'now' | 'restarting' | 'next-start';

export interface HeldSettings extends HeldText {
  readonly file: string;
  /** As written; null where the text is no YAML. */
  readonly document: Readonly<Record<string, unknown>> | null;
  /** What is wrong with the file as it stands, in words; null where nothing is. */
  readonly trouble: string | null;
  /** False where the file was changed by hand and is not in force yet. */
  readonly isInForce: boolean;
}

export interface SettingsChange {
  /** Of the file that was read. */
  readonly version: string;
  /** The whole configuration as it shall be: as fields, or as the text of the file. */
  readonly to: { readonly document: unknown } | { readonly text: string };
  readonly why: string;
}

export interface SettingsOptions {
  readonly house: SettingsHouse;
  readonly writers: ReadonlyMap<string, Site>;
  readonly accounts: Accounts;
  readonly store: Pick<Store, 'proposals'>;
  /** Told after a site's configuration has changed. */
  readonly onChanged: (site: string) => void;
  readonly clock: Clock;
  readonly log: Log;
}

/** Before an answer has left, the program must not go away. */
const RESTART_AFTER_MS = 300;

/** Reads and writes the sites' files: what is written there is checked first, kept as it was before, told in the audit trail, and put into force. */
export class Settings {
  readonly #options: SettingsOptions;

  constructor(options: SettingsOptions) {
    this.#options = options;
  }

  /** Where the first site will be written; null where there is a site already. */
  get first(): SiteFile | null {
    return this.#options.house.first;
  }

  has(site: string): boolean {
    return this.#options.house.files.has(site);
  }

  /** @throws ProblemError 404 where the site has no file here */
  async held(site: string): Promise<HeldSettings> {
    const { file, writer } = this.#need(site);
    const { text, version } = file.read();
    let trouble: string | null = null;
    let config: SiteConfig | null = null;
    try {
      config = parseSiteYaml(text, file.name);
    } catch (error) {
      trouble = (error as Error).message;
    }
    const document = readDocument(text);
    const inForce = writer.state.configVersion ?? '';
    const isInForce = config !== null && hashOf(config) === inForce.split('+')[0];
    return { text, version, file: file.name, document: document && (await this.#withProposal(document, inForce)), trouble, isInForce };
  }

  /** Writes a changed configuration and puts it into force. @throws ProblemError that names what is wrong */
  async change(site: string, { version, to, why }: SettingsChange, doer: Doer): Promise<{ version: string; takesHold: TakesHold }> {
    const { file, writer } = this.#need(site);
    const held = file.read();
    if (held.version !== version) throw await this.#changedMeanwhile(site, file);
    const text = 'text' in to ? to.text : editSiteYaml(held.text, checked(to.document));
    const config = readText(text, file.name);
    if (config.site.id !== site) throw new InvalidInput([{ path: ['site', 'id'], message: `expected ${site}: a site keeps its id, its record goes by it` }], null);
    this.#checkFiles(config);
    const before = writer.state.config;
    const written = await this.#write(site, file, () => file.write(text, version, this.#options.clock.nowMs()));
    await this.#tell(site, readDocument(held.text), readDocument(text), why, doer);
    await writer.configure(config, { by: doer.by, why });
    this.#options.onChanged(site);
    this.#options.house.onChanged(config);
    return { version: written.version, takesHold: before && needsRestart(before, config) ? this.#restart() : 'now' };
  }

  /** Puts changed alarm settings, as written under `alarms:`, into the file and into force. */
  async changeAlarms(site: string, alarms: Readonly<Record<string, unknown>>, why: string, doer: Doer): Promise<void> {
    const { version, document } = await this.held(site);
    await this.change(site, { version, to: { document: withAlarms(document ?? {}, alarms) }, why }, doer);
  }

  /** Writes the first site's file; the program then starts anew with it. */
  async create(document: unknown, doer: Doer): Promise<TakesHold> {
    const { first } = this.#options.house;
    if (!first) throw new ProblemError(409, 'Refused', 'there is a site already: this server was started with one');
    const text = HEAD + editSiteYaml('', checked(document));
    const config = readText(text, first.name);
    this.#checkFiles(config);
    await this.#write(config.site.id, first, () => first.create(text));
    await this.#tell(config.site.id, null, readDocument(text), 'first run', doer);
    return this.#restart();
  }

  #need(site: string): { file: SiteFile; writer: Site } {
    const [file, writer] = [this.#options.house.files.get(site), this.#options.writers.get(site)];
    if (!file || !writer) throw new ProblemError(404, 'Not found', `there is no configuration file of site ${JSON.stringify(site)} here`);
    return { file, writer };
  }

  /** Settings that were put into force on top of the file by an older program are part of what is in force. */
  async #withProposal(document: Readonly<Record<string, unknown>>, inForce: string): Promise<Readonly<Record<string, unknown>>> {
    const id = inForce.split('+')[1];
    const proposal = id === undefined ? null : await this.#options.store.proposals.find(id);
    return proposal ? withAlarms(document, proposal.alarms) : document;
  }

  async #write(site: string, file: SiteFile, act: () => HeldText): Promise<HeldText> {
    try {
      return act();
    } catch (error) {
      if (error instanceof FileChanged) throw await this.#changedMeanwhile(site, file);
      throw error;
    }
  }

  async #changedMeanwhile(site: string, file: SiteFile): Promise<ProblemError> {
    const [last] = await this.#options.accounts.trail.find({ site, what: CHANGED, sites: null, limit: 1 });
    const who = last && this.#options.clock.nowMs() - last.atMs < 3_600_000 ? `; the last who changed it here was ${last.by}` : '';
    return new ProblemError(412, 'Changed meanwhile', `${file.name} is not what you looked at any more${who}: load it again, nothing was written`);
  }

  #checkFiles(config: SiteConfig): void {
    const problems = unreadableFiles(config);
    if (problems.length > 0) throw new InvalidInput(problems, null);
  }

  async #tell(site: string, before: unknown, after: unknown, why: string, doer: Doer): Promise<void> {
    const { accounts, clock } = this.#options;
    const atMs = clock.nowMs();
    await accounts.base.sql.transaction(async () => {
      for (const { field, old, new: now } of documentChanges(before, after)) await accounts.trail.add({ atMs, ...doer, what: CHANGED, site, subject: field, old, new: now, why });
    });
  }

  #restart(): TakesHold {
    const { restart } = this.#options.house;
    if (!restart) return 'next-start';
    setTimeout(restart, RESTART_AFTER_MS);
    return 'restarting';
  }
}

/** In the audit trail: one field of a site's file. */
export const CHANGED = 'configuration-changed';

const HEAD = '# Written by Potside’s first run. Every field: docs/configuration.md.\n';

/** What is read once, at the start. */
function needsRestart(before: SiteConfig, after: SiteConfig): boolean {
  const atStart = ({ mqtt, listen, uplinks, openId, page }: SiteConfig): string => canonicalJson({ mqtt, listen, uplinks, openId: openId ?? null, page: openId ? page : null });
  return atStart(before) !== atStart(after);
}

function readDocument(text: string): Readonly<Record<string, unknown>> | null {
  const document = parseDocument(text);
  if (document.errors.length > 0 || !isMap(document.contents)) return null;
  return document.toJS({ maxAliasCount: 0 }) as Readonly<Record<string, unknown>>;
}

/** @throws InvalidInput naming each field */
function checked(document: unknown): unknown {
  const read = parseSiteConfig(document);
  if ('problems' in read) throw new InvalidInput(read.problems, document);
  return document;
}

/** @throws ProblemError 400 with the lines that are wrong */
function readText(text: string, name: string): SiteConfig {
  try {
    return parseSiteYaml(text, name);
  } catch (error) {
    if (error instanceof UserError) throw new ProblemError(400, 'Bad request', error.message);
    throw error;
  }
}

function withAlarms(document: Readonly<Record<string, unknown>>, changes: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> {
  const alarms = { ...(isGroup(document['alarms']) ? document['alarms'] : {}) };
  for (const [name, change] of Object.entries(changes)) alarms[name] = { ...(isGroup(alarms[name]) ? alarms[name] : {}), ...(isGroup(change) ? change : {}) };
  return { ...document, alarms };
}

