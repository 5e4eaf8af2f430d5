import { readFileSync } from 'node:fs';
import * as client from 'openid-client';
import type { OpenIdConfig } from '../../domain/shift/server-config.ts';
import type { Clock } from '../../host/clock.ts';
import type { Accounts, Credentials } from './accounts.ts';
import { checkName, checkRole } from './access-store.ts';
import { newSecret } from './secret.ts';

/** So long somebody may take at the provider. */
const PENDING_MS = 600_000;
const AT_ONCE = 1_000;
const TIMEOUT_S = 10;

interface Pending {
  readonly verifier: string;
  readonly state: string;
  readonly nonce: string;
  readonly untilMs: number;
}

export interface OpenIdOptions {
  readonly config: OpenIdConfig;
  /** The address at which people reach the page. */
  readonly page: string;
  readonly accounts: Accounts;
  readonly clock: Clock;
}

/** Sign-in through a company's OpenID Connect provider: authorization code with PKCE, state and nonce. The provider's groups say role and sites. */
export class OpenId {
  readonly name: string;
  readonly #options: OpenIdOptions;
  readonly #pending = new Map<string, Pending>();
  #provider: Promise<client.Configuration> | null = null;

  constructor(options: OpenIdOptions) {
    this.#options = options;
    this.name = options.config.name;
  }

  get callback(): string {
    return `${this.#options.page}/api/open-id/back`;
  }

  /** Where to send the browser, and the secret that ties its return to it. */
  async start(): Promise<{ url: string; tie: string; maxAgeS: number }> {
    const provider = await this.#need();
    const now = this.#options.clock.nowMs();
    for (const [tie, { untilMs }] of this.#pending) if (untilMs <= now || this.#pending.size >= AT_ONCE) this.#pending.delete(tie);
    const held: Pending = { verifier: client.randomPKCECodeVerifier(), state: client.randomState(), nonce: client.randomNonce(), untilMs: now + PENDING_MS };
    const tie = newSecret();
    this.#pending.set(tie, held);
    const url = client.buildAuthorizationUrl(provider, {
      redirect_uri: this.callback,
      scope: 'openid profile email',
      code_challenge: await client.calculatePKCECodeChallenge(held.verifier),
      code_challenge_method: 'S256',
      state: held.state,
      nonce: held.nonce,
    });
    return { url: url.href, tie, maxAgeS: PENDING_MS / 1000 };
  }

  /** Who came back. Why not, where the answer does not hold or the person has no role here. */
  async back(query: string, tie: string | null): Promise<{ person: Credentials } | { refusal: string }> {
    const held = tie === null ? undefined : this.#pending.get(tie);
    if (tie === null || !held || held.untilMs <= this.#options.clock.nowMs()) return { refusal: 'this sign-in was not begun in this browser, or took too long: begin again' };
    // Good once, whatever comes of it.
    this.#pending.delete(tie);
    const tokens = await client.authorizationCodeGrant(await this.#need(), new URL(`${this.callback}?${query}`), {
      pkceCodeVerifier: held.verifier, expectedState: held.state, expectedNonce: held.nonce, idTokenExpected: true,
    });
    const claims = tokens.claims();
    if (!claims) return { refusal: 'the provider said nothing of who this is' };
    return this.#admit(claims);
  }

  async #admit(claims: client.IDToken): Promise<{ person: Credentials } | { refusal: string }> {
    const { config, accounts } = this.#options;
    const said = claims[config.claim];
    const groups = Array.isArray(said) ? said.filter((one) => typeof one === 'string') : typeof said === 'string' ? [said] : [];
    const found = config.groups.find(({ group }) => groups.includes(group));
    if (!found) return { refusal: 'your company knows you, but none of your groups has a role here' };
    const subject = `${claims.iss} ${claims.sub}`;
    const name = nameOf(claims);
    const known = await accounts.bySubject(subject);
    const doer = { by: config.name, role: 'provider', address: config.issuer };
    if (!known) {
      if (name === null) return { refusal: 'the provider told no name that can be used here' };
      // A local account must not be taken over by who has its name elsewhere.
      if ((await accounts.users()).some((one) => one.name === name)) return { refusal: `there is somebody of the name ${name} here already: an administrator has to sort this out` };
      await accounts.addUser(name, checkRole(found.role), '', { sites: found.sites, doer });
      await accounts.setSubject(name, subject);
    } else if (known.role !== found.role || String(known.sites) !== String(found.sites)) await accounts.change(known.name, { role: found.role, sites: found.sites }, doer);
    const person = await accounts.bySubject(subject);
    return person ? { person } : { refusal: 'this account is disabled here' };
  }

  /** Asked for at the first sign-in, again where that failed: the server must start without the provider. */
  #need(): Promise<client.Configuration> {
    const { config } = this.#options;
    const secret = config.clientSecretFile === null ? undefined : readFileSync(config.clientSecretFile, 'utf8').trim();
    const isLocal = config.issuer.startsWith('http://');
    this.#provider ??= client
      .discovery(new URL(config.issuer), config.clientId, undefined, secret === undefined ? client.None() : client.ClientSecretPost(secret), {
        timeout: TIMEOUT_S,
        // The signature counts too, not only the TLS connection it came over.
        execute: [client.enableNonRepudiationChecks, ...(isLocal ? [client.allowInsecureRequests] : [])],
      })
      .catch((error: unknown) => {
        this.#provider = null;
        throw error;
      });
    return this.#provider;
  }
}

function nameOf(claims: client.IDToken): string | null {
  for (const said of [claims['preferred_username'], claims['email'], claims['name']]) {
    if (typeof said !== 'string') continue;
    try {
      checkName(said);
      return said;
    } catch {
      // The next one may do.
    }
  }
  return null;
}
