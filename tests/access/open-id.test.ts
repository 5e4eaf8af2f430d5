import { expect, it } from 'vitest';
import { testServer, type TestServer } from '../support/server.ts';
import { openIdProvider, type Provider } from '../support/open-id-provider.ts';
import { SITE_YAML, testSite } from '../support/site.ts';

async function company(): Promise<{ server: TestServer; provider: Provider }> {
  const provider = await openIdProvider();
  const yaml = `${SITE_YAML}
page: http://potside.example
open-id:
  issuer: ${provider.issuer}
  client-id: potside
  name: Example Contracting
  groups:
    - { group: safety, role: safety-officer }
    - { group: pier-9-crew, role: supervisor, sites: [pier-9] }
`;
  return { provider, server: await testServer(undefined, undefined, 0, [testSite(yaml)]) };
}

const cookiesOf = (response: Response): string => response.headers.getSetCookie().map((cookie) => cookie.split(';')[0]).join('; ');

/** To the provider; where the browser was sent, and the cookie that ties it. */
async function leave(server: TestServer): Promise<{ to: string; tie: string }> {
  const response = await fetch(`${server.server.url}/api/open-id/start`, { redirect: 'manual' });
  expect(response.status).toBe(303);
  expect(response.headers.getSetCookie()[0]).toMatch(/potside_open_id=.*HttpOnly; SameSite=Lax/);
  return { to: response.headers.get('location') ?? '', tie: cookiesOf(response) };
}

const comeBack = (server: TestServer, query: string, cookie: string): Promise<Response> => fetch(`${server.server.url}/api/open-id/back?${query}`, { redirect: 'manual', headers: { cookie } });

const OLGA = { sub: 'u-17', preferred_username: 'olga', groups: ['everybody', 'pier-9-crew'] };

it('lets in who is in a group, with its role and sites, and follows a change of groups', async () => {
  const { server, provider } = await company();
  const { to, tie } = await leave(server);
  expect(new URL(to).searchParams.get('code_challenge_method')).toBe('S256');
  const response = await comeBack(server, provider.consent(to, OLGA), tie);
  expect([response.status, response.headers.get('location')]).toEqual([303, '/']);
  expect(await (await server.call('GET', '/api/session', { cookie: cookiesOf(response) })).json()).toMatchObject({ name: 'olga', role: 'supervisor', sites: ['pier-9'] });
  const again = await leave(server);
  const moved = await comeBack(server, provider.consent(again.to, { ...OLGA, groups: ['safety'] }), again.tie);
  expect(await (await server.call('GET', '/api/session', { cookie: cookiesOf(moved) })).json()).toMatchObject({ name: 'olga', role: 'safety-officer', sites: null });
});

it('has no password, so none signs her in', async () => {
  const { server, provider } = await company();
  const { to, tie } = await leave(server);
  await comeBack(server, provider.consent(to, OLGA), tie);
  for (const password of ['', 'x']) expect((await server.call('POST', '/api/session', { body: { name: 'olga', password } })).status).toBe(401);
});

it.each([
  ['in no group', { ...OLGA, groups: ['everybody'] }, {}],
  ['signed by somebody else', OLGA, { signedBy: 'somebody else' as const }],
  ['an answer to another question', OLGA, { nonce: 'replayed' }],
])('refuses who is %s', async (_what, claims, how) => {
  const { server, provider } = await company();
  const { to, tie } = await leave(server);
  const response = await comeBack(server, provider.consent(to, claims, how), tie);
  expect(response.status).toBe(403);
  expect(await server.server.accounts.users()).toEqual([]);
});

it('refuses an answer in another browser, and the same answer twice', async () => {
  const { server, provider } = await company();
  const { to, tie } = await leave(server);
  const query = provider.consent(to, OLGA);
  expect((await comeBack(server, query, '')).status).toBe(403);
  expect((await comeBack(server, query, tie)).status).toBe(303);
  expect((await comeBack(server, query, tie)).status).toBe(403);
});

it('takes over no account of this server, and lets nobody in who is disabled', async () => {
  const { server, provider } = await company();
  await server.signIn('administrator');
  const first = await leave(server);
  expect((await comeBack(server, provider.consent(first.to, { ...OLGA, preferred_username: 'the administrator' }), first.tie)).status).toBe(403);
  const second = await leave(server);
  await comeBack(server, provider.consent(second.to, OLGA), second.tie);
  await server.server.accounts.disableUser('olga');
  const third = await leave(server);
  expect((await comeBack(server, provider.consent(third.to, OLGA), third.tie)).status).toBe(403);
});
