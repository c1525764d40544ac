import { Injectable } from '@nestjs/common';
import type { TelematicsSource } from '../../../entities/telematics-source.entity.js';
import { Clock } from '../../../platform/clock/clock.js';
import { message } from '../messages.js';
import { PollFailure } from './poll-failure.js';
import { type SourceAnswer, SourceClient } from './source-client.js';

/** A token is renewed this long before it expires. */
const EARLY_MS = 30_000;
/** How long a token is used if the server does not say: RFC 6749 recommends that it does. */
const UNSAID_SECONDS = 300;
const LONGEST_TOKEN = 20_000;
/** Tokens of this many sources are remembered. */
const MOST_REMEMBERED = 10_000;

interface AccessToken {
  /** Of the source's settings. A change of them makes the token useless. */
  version: number;
  text: string;
  until: number;
}

/** Asks sources on behalf of fleets, signed in as each source requires. */
@Injectable()
export class SignedInClient {
  private readonly tokens = new Map<string, AccessToken>();

  constructor(
    private readonly client: SourceClient,
    private readonly clock: Clock,
  ) {}

  /**
   * Asks a source. An OAuth 2 token that the source refuses is renewed once.
   *
   * @throws PollFailure
   */
  async ask(source: TelematicsSource, address: URL, accept: string): Promise<SourceAnswer> {
    const attempt = async (): Promise<SourceAnswer> =>
      this.client.ask(address, { headers: { accept, ...(await this.authorization(source)) } });
    if (source.signIn !== 'oauth2') return attempt();
    const wasKept = this.kept(source) !== null;
    try {
      return await attempt();
    } catch (error) {
      if (!(error instanceof PollFailure) || error.about.status !== 401) throw error;
      this.tokens.delete(source.id);
      // A token that has only just been given will not be better the second time.
      if (!wasKept) throw error;
      return attempt();
    }
  }

  private async authorization(source: TelematicsSource): Promise<Record<string, string>> {
    const { signIn, userName, secret } = source;
    if (signIn === 'none') return {};
    if (signIn === 'basic') return { authorization: basic(userName ?? '', secret ?? '') };
    if (signIn === 'bearer') return { authorization: `Bearer ${secret ?? ''}` };
    const token = this.kept(source) ?? (await this.newToken(source));
    return { authorization: `Bearer ${token.text}` };
  }

  private kept({ id, version }: TelematicsSource): AccessToken | null {
    const token = this.tokens.get(id);
    return token?.version === version && token.until > this.clock.now().getTime() ? token : null;
  }

  /** Client credentials, RFC 6749 section 4.4; the client signs in as its section 2.3.1 says. */
  private async newToken(source: TelematicsSource): Promise<AccessToken> {
    const { id, version, userName, secret, tokenAddress, scope } = source;
    const form = new URLSearchParams({ grant_type: 'client_credentials' });
    if (scope !== null) form.set('scope', scope);
    const client = [userName ?? '', secret ?? ''].map((part) => formEncoded(part));
    const { bytes } = await this.client
      .ask(new URL(tokenAddress ?? ''), {
        method: 'POST',
        headers: {
          accept: 'application/json',
          'content-type': 'application/x-www-form-urlencoded',
          authorization: basic(client[0] ?? '', client[1] ?? ''),
        },
        body: form.toString(),
      })
      .catch((error: unknown) => {
        if (!(error instanceof PollFailure)) throw error;
        const { waitMs = null } = error.about;
        throw new PollFailure(message('poll-token-not-given', { why: error.why }), { waitMs });
      });
    const { text, seconds } = tokenIn(bytes);
    const token = { version, text, until: this.clock.now().getTime() + seconds * 1000 - EARLY_MS };
    const [oldest] = this.tokens.keys();
    if (this.tokens.size >= MOST_REMEMBERED && oldest !== undefined) this.tokens.delete(oldest);
    this.tokens.set(id, token);
    return token;
  }
}

const basic = (userName: string, password: string): string =>
  `Basic ${Buffer.from(`${userName}:${password}`).toString('base64')}`;

const formEncoded = (text: string): string => new URLSearchParams([['', text]]).toString().slice(1);

/** @throws PollFailure when there is no usable token */
function tokenIn(bytes: Buffer): { text: string; seconds: number } {
  let body: unknown;
  try {
    body = JSON.parse(bytes.toString('utf8'));
  } catch {
    throw new PollFailure(message('poll-token-unusable'));
  }
  const { access_token: text, expires_in: given } = (body ?? {}) as Record<string, unknown>;
  if (typeof text !== 'string' || !/^[\x21-\x7e]+$/.test(text) || text.length > LONGEST_TOKEN)
    throw new PollFailure(message('poll-token-unusable'));
  const seconds = Number(given);
  return { text, seconds: Number.isFinite(seconds) && seconds > 0 ? seconds : UNSAID_SECONDS };
}
