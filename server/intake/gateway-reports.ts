import type { GatewayReport } from '../../domain/wire/gateway-report.ts';
import type { Clock } from '../../host/clock.ts';

export interface HeardReport {
  readonly report: GatewayReport;
  readonly heardAtMs: number;
}

/** What the gateways tell of themselves: the one in this process is asked, those elsewhere tell. Kept in memory; it is about now. */
export class GatewayReports {
  readonly #clock: Clock;
  readonly #here: (site: string) => GatewayReport | null;
  readonly #told = new Map<string, HeardReport>();

  constructor(options: { readonly clock: Clock; readonly here: (site: string) => GatewayReport | null }) {
    this.#clock = options.clock;
    this.#here = options.here;
  }

  take(site: string, report: GatewayReport): void {
    this.#told.set(site, { report, heardAtMs: this.#clock.nowMs() });
  }

  of(site: string): HeardReport | null {
    const here = this.#here(site);
    return here ? { report: here, heardAtMs: this.#clock.nowMs() } : (this.#told.get(site) ?? null);
  }
}
