/** Somebody who may sign in to the demonstration; made up anew at each start. */
export interface DemonstrationPerson {
  readonly name: string;
  readonly password: string;
  readonly role: string;
}

export type DemonstrationState =
  | { readonly state: 'off' }
  | { readonly state: 'starting' }
  | { readonly state: 'running'; readonly url: string; readonly people: readonly DemonstrationPerson[] }
  /** `why` in words for whoever asked for it. */
  | { readonly state: 'failed'; readonly why: string };

/**
 * A demonstration beside a server that has no site yet: a program of its own with a record, addresses and people of its own. Given by
 * whoever knows how one is started; nothing of it passes through this server.
 */
export interface Demonstration {
  look(): DemonstrationState;
  /** Starts one unless one starts or runs already. */
  start(): void;
  /** Ends the one that runs; resolves when it is gone. */
  stop(): Promise<void>;
}
