import { timingSafeEqual } from 'node:crypto';
import { digest } from '../access/secret.ts';
import type { Api } from '../api/context.ts';
import { notSignedIn, ProblemError } from '../api/problem-error.ts';
import type { GatewayReports } from '../intake/gateway-reports.ts';
import type { Site } from '../intake/site.ts';
import { obey, type PeerMessage } from './peer-message.ts';

/** A full batch of long names, or a configuration. */
const MAX_BYTES = 4 * 1024 * 1024;

export interface PeerRouteOptions {
  /** What only a server that reads our database knows. */
  readonly secret: string;
  readonly sites: ReadonlyMap<string, Site>;
  readonly gateways: GatewayReports;
  /** Told of a gateway's readings that another server handed on. */
  readonly onTaken: (site: string) => void;
  /** Told of a configuration that came from another server's screens. */
  readonly onConfigured: (site: string) => void;
}

/** The way in for other servers of the same database: no part of the API, for nobody else, and only about sites that are ours. */
export function peerRoute(app: Api, { secret, sites, gateways, onTaken, onConfigured }: PeerRouteOptions): void {
  const expected = Buffer.from(digest(secret));
  app.post<{ Params: { site: string }; Body: PeerMessage }>(
    '/peers/:site',
    {
      bodyLimit: MAX_BYTES,
      config: { rateLimit: false },
      schema: { hide: true },
      // Before the body is read.
      onRequest: async ({ headers: { authorization } }) => {
        const given = /^Bearer ([\w-]+)$/.exec(authorization ?? '')?.[1] ?? '';
        if (!timingSafeEqual(Buffer.from(digest(given)), expected)) throw notSignedIn();
      },
    },
    async (request, reply) => {
      const site = sites.get(request.params.site);
      if (!site?.isOurs) throw new ProblemError(421, 'Misdirected', `site ${JSON.stringify(request.params.site)} is not with this server`);
      if (request.body.kind === 'take') onTaken(site.siteId);
      const answer = await obey(request.body, site, gateways);
      if (request.body.kind === 'configure' || request.body.kind === 'force') onConfigured(site.siteId);
      return reply.type('application/json').send(JSON.stringify(answer ?? null));
    },
  );
}
