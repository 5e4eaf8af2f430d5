import { createHash, createSign, generateKeyPairSync, randomUUID } from 'node:crypto';
import { once } from 'node:events';
import { createServer } from 'node:http';
import { text } from 'node:stream/consumers';
import { onTestFinished } from 'vitest';

export interface Provider {
  readonly issuer: string;
  /** Somebody signs in there: given the address that the browser was sent to, answers with the query of the way back. */
  consent(authorize: string, claims: Record<string, unknown>, how?: { readonly signedBy?: 'somebody else'; readonly nonce?: string }): string;
}

/** A small OpenID Connect provider: discovery, keys, tokens; checks PKCE and gives each code out once. */
export async function openIdProvider(): Promise<Provider> {
  const { privateKey, publicKey } = generateKeyPairSync('rsa', { modulusLength: 2048 });
  const stranger = generateKeyPairSync('rsa', { modulusLength: 2048 }).privateKey;
  const codes = new Map<string, { challenge: string; idToken: string }>();
  let issuer = '';
  const server = createServer((request, response) => {
    const json = (body: unknown, status = 200): void => void response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(body));
    if (request.url === '/.well-known/openid-configuration') {
      return json({ issuer, authorization_endpoint: `${issuer}/authorize`, token_endpoint: `${issuer}/token`, jwks_uri: `${issuer}/keys`, response_types_supported: ['code'], subject_types_supported: ['public'], id_token_signing_alg_values_supported: ['RS256'], code_challenge_methods_supported: ['S256'] });
    }
    if (request.url === '/keys') return json({ keys: [{ ...publicKey.export({ format: 'jwk' }), kid: 'k1', alg: 'RS256', use: 'sig' }] });
    void text(request).then((body) => {
      const asked = new URLSearchParams(body);
      const held = codes.get(asked.get('code') ?? '');
      codes.delete(asked.get('code') ?? '');
      const challenge = createHash('sha256').update(asked.get('code_verifier') ?? '').digest('base64url');
      if (held?.challenge !== challenge) return json({ error: 'invalid_grant' }, 400);
      json({ access_token: randomUUID(), token_type: 'Bearer', expires_in: 60, id_token: held.idToken });
    });
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => void server.close());
  const address = server.address();
  issuer = `http://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}`;
  return {
    issuer,
    consent: (authorize, claims, how = {}) => {
      const asked = new URL(authorize).searchParams;
      const now = Math.floor(Date.now() / 1000);
      const part = (value: unknown): string => Buffer.from(JSON.stringify(value)).toString('base64url');
      const signed = `${part({ alg: 'RS256', kid: 'k1' })}.${part({ iss: issuer, aud: asked.get('client_id'), exp: now + 60, iat: now, nonce: how.nonce ?? asked.get('nonce'), ...claims })}`;
      const signature = createSign('RSA-SHA256').update(signed).sign(how.signedBy ? stranger : privateKey).toString('base64url');
      const code = randomUUID();
      codes.set(code, { challenge: asked.get('code_challenge') ?? '', idToken: `${signed}.${signature}` });
      return new URLSearchParams({ code, state: asked.get('state') ?? '' }).toString();
    },
  };
}
