import { createHash, randomUUID } from 'node:crypto';
import type { IncomingMessage, ServerResponse } from 'node:http';
import type { JWTPayload } from 'jose';
import type { Issuer } from './issuer.js';

interface Given {
  asked: URLSearchParams;
  claims: JWTPayload;
}

const refusal = { status: 400, body: { error: 'invalid_grant' } };

/** The part of a provider where people sign in: codes with PKCE (RFC 6749, RFC 7636). */
export class SignInDesk {
  private readonly codes = new Map<string, Given>();

  /** Where the browser is sent on to, as if somebody had signed in, or had been refused. */
  letIn({ searchParams: asked }: URL, claims: JWTPayload | null): string {
    const back = new URL(String(asked.get('redirect_uri')));
    back.searchParams.set('state', String(asked.get('state')));
    if (claims === null) back.searchParams.set('error', 'access_denied');
    else {
      const code = randomUUID();
      this.codes.set(code, { asked, claims });
      back.searchParams.set('code', code);
    }
    return back.href;
  }

  async redeem(request: IncomingMessage, issuer: Issuer, reply: ServerResponse): Promise<void> {
    const { status, body } = await this.answer(request, issuer);
    reply.writeHead(status).end(JSON.stringify(body));
  }

  private async answer(request: IncomingMessage, issuer: Issuer): Promise<{ status: number; body: object }> {
    const chunks: Buffer[] = [];
    for await (const chunk of request) chunks.push(chunk as Buffer);
    const form = new URLSearchParams(Buffer.concat(chunks).toString());
    issuer.redeemed.push({ form, authorization: request.headers.authorization });
    const given = this.codes.get(String(form.get('code')));
    this.codes.delete(String(form.get('code')));
    const challenge = createHash('sha256')
      .update(String(form.get('code_verifier')))
      .digest('base64url');
    if (!given || challenge !== given.asked.get('code_challenge')) return refusal;
    if (form.get('redirect_uri') !== given.asked.get('redirect_uri')) return refusal;
    const { asked, claims } = given;
    const own = { iss: issuer.url, aud: String(asked.get('client_id')), nonce: String(asked.get('nonce')) };
    return {
      status: 200,
      body: { id_token: await issuer.sign({ ...own, ...claims }), token_type: 'Bearer' },
    };
  }
}
