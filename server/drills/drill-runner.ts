import type { SiteConfig } from '../../domain/shift/site-config.ts';

/** A made-up course of events that a trainer can choose. */
export interface DrillScenario {
  readonly name: string;
  readonly summary: string;
}

/**
 * What plays drills: the server says what and when, and does not know how readings are made up. Given by whoever wires a simulator to
 * it; a server without one has no drills.
 */
export interface DrillRunner {
  readonly scenarios: readonly DrillScenario[];
  /** Begins to publish for this site, whose rigs are taken as they are configured. */
  start(config: SiteConfig, drill: { readonly scenario: string; readonly seed: number; readonly speed: number }): void;
  /** Ends what is played on a site; nothing where nothing is. */
  stop(site: string): Promise<void>;
}
