import fastifyStatic from '@fastify/static';
import type { FastifyInstance } from 'fastify';

/** Names of built files bear a digest of their content: what has such a name never changes. */
const BUILT_FOLDER = '/assets/';

/**
 * Gives out the files of the built page, packed as the build packed them where the browser takes that.
 * The page itself is asked for anew each time, since it names the built files of its own version only.
 */
export async function servePage(app: Pick<FastifyInstance, 'register'>, folder: string): Promise<void> {
  await app.register(fastifyStatic, {
    root: folder,
    preCompressed: true,
    cacheControl: false,
    setHeaders: (reply, path) => void reply.header('cache-control', path.includes(BUILT_FOLDER) ? 'public, max-age=31536000, immutable' : 'no-cache'),
  });
}
