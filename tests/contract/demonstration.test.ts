import { createServer } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import { createDemonstration } from '../../cli/demonstration/run-demonstration.ts';
import { type PotsideProcess, startPotside } from '../support/potside-process.ts';
import { QUIET, until } from '../support/quiet.ts';
import { PASSWORD, testServer } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';

/** Long enough for two made-up hours to be played in on a busy machine. */
const STARTS_WITHIN_MS = 240_000;

/** Asked more often, the server tells whoever asks to wait. */
const pause = () => new Promise((resolve) => setTimeout(resolve, 500));

interface Told {
  readonly state: string;
  readonly url: string | null;
  readonly people: readonly { readonly name: string; readonly password: string; readonly role: string }[];
}

/** An empty Potside and its first administrator. */
async function emptyPotside(): Promise<{ potside: PotsideProcess; ask: (method: string, path?: string) => Promise<{ status: number; body: Told }> }> {
  const potside = await startPotside('serve', '--data', tempDir(), '--port', '0', '--mqtt-port', '0');
  const { firstAdministratorCode: code } = potside.ready as unknown as { readonly firstAdministratorCode: string };
  const made = await fetch(`${potside.ready.url}/api/first-administrator`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ code, name: 'ada', password: PASSWORD }) });
  const cookie = made.headers.getSetCookie().map((one) => one.split(';')[0]).join('; ');
  const ask = async (method: string, path = '/api/demonstration') => {
    const response = await fetch(potside.ready.url + path, { method, headers: { cookie } });
    return { status: response.status, body: (await response.json()) as Told };
  };
  return { potside, ask };
}

describe('the demonstration beside an empty Potside', () => {
  it('starts on demand, is the same one however often it is asked for, and ends with the server, however that ends', async () => {
    const { potside, ask } = await emptyPotside();
    expect((await ask('GET')).body.state).toBe('off');
    expect((await ask('POST')).status).toBe(202);
    // Ended while it starts, it is gone and can be started anew.
    expect((await ask('DELETE')).body.state).toBe('off');
    expect((await ask('POST')).body.state).toBe('starting');
    await until(() => pause().then(() => ask('GET')).then(({ body }) => body.state !== 'starting'), 'the demonstration', STARTS_WITHIN_MS);
    const { body } = await ask('POST');
    expect(body).toMatchObject({ state: 'running', url: expect.stringMatching(/^http:\/\/127\.0\.0\.1:\d+$/), people: [{ role: 'supervisor' }, { role: 'safety-officer' }, { role: 'manager' }, { role: 'tender' }] });
    const { url, people } = body;
    expect((await ask('POST')).body).toEqual(body);

    // It says itself what it is, and its sign-in leaves the one beside it alone.
    expect(await (await fetch(`${url}/api/ways-in`)).json()).toMatchObject({ demo: true });
    const [first] = people;
    const signedIn = await fetch(`${url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: first?.name, password: first?.password }) });
    expect(signedIn.status).toBe(200);
    expect(signedIn.headers.getSetCookie().map((one) => one.split('=')[0])).toEqual(['potside_demo_session', 'potside_demo_browser']);
    // Nothing of it is here.
    expect((await ask('GET', '/api/sites')).body).toEqual({ items: [], next: null });

    await potside.end('SIGKILL');
    await until(() => fetch(`${url}/api/ways-in`).then(() => false, () => true), 'the end of the demonstration', 60_000);
  }, 2 * STARTS_WITHIN_MS);

  it('says in words why it does not start, and can be asked for again', async () => {
    const taken = createServer().listen(0, '127.0.0.1');
    onTestFinished(() => void taken.close());
    await new Promise((resolve) => taken.once('listening', resolve));
    const { port } = taken.address() as { readonly port: number };
    const demonstration = createDemonstration(QUIET, ['--port', String(port), '--mqtt-port', '0']);
    onTestFinished(() => demonstration.stop());
    for (const _ of ['first', 'again']) {
      demonstration.start();
      expect(demonstration.look()).toEqual({ state: 'starting' });
      await until(() => demonstration.look().state !== 'starting', 'the end of it', 60_000);
      expect(demonstration.look()).toEqual({ state: 'failed', why: `port ${port} is already taken: stop the program that holds it, or choose another with --port` });
    }
  });

  it('is refused where a site is set up', async () => {
    const { call, signIn } = await testServer();
    const response = await call('POST', '/api/demonstration', { cookie: await signIn('administrator') });
    expect([response.status, await response.json()]).toMatchObject([409, { detail: expect.stringContaining('npx potside demo') }]);
  });
});
