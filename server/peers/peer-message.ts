import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { Action } from '../../domain/site/log.ts';
import type { AlarmChanges } from '../../domain/site/rejudge.ts';
import type { GatewayReport } from '../../domain/wire/gateway-report.ts';
import type { UplinkBatch } from '../../domain/wire/uplink.ts';
import type { GatewayReports } from '../intake/gateway-reports.ts';
import type { Site, ToldChange } from '../intake/site.ts';

/** What a server that was asked hands on to the one that has the site. Who asks was identified, and may, before it is handed on. */
export type PeerMessage =
  | { readonly kind: 'take'; readonly batch: UplinkBatch }
  | { readonly kind: 'act'; readonly action: Action }
  | { readonly kind: 'configure'; readonly config: SiteConfig; readonly told: ToldChange }
  | { readonly kind: 'force'; readonly proposal: string; readonly changes: AlarmChanges; readonly by: string; readonly why: string }
  | { readonly kind: 'report'; readonly report: GatewayReport }
  | { readonly kind: 'heard' };

/** Does it at the server that has the site; answers with what goes back as JSON. */
export async function obey(message: PeerMessage, site: Site, gateways: GatewayReports): Promise<unknown> {
  switch (message.kind) {
    case 'take':
      return site.take(message.batch);
    case 'act':
      return site.act(message.action);
    case 'configure':
      return (await site.configure(message.config, message.told)) ?? null;
    case 'force':
      return (await site.putIntoForce(message.proposal, message.changes, message.by, message.why)) ?? null;
    case 'report':
      return gateways.take(site.siteId, message.report) ?? null;
    case 'heard':
      return gateways.of(site.siteId);
  }
}
