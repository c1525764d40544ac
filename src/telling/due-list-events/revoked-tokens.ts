/** How many tokens are remembered. */
const KEPT = 1000;

/**
 * The most recently revoked tokens. A stream that is just being opened may belong to one of them.
 */
export class RevokedTokens {
  private readonly ids = new Set<string>();

  add(tokenId: string): void {
    this.ids.add(tokenId);
    for (const oldest of this.ids) {
      if (this.ids.size <= KEPT) return;
      this.ids.delete(oldest);
    }
  }

  has(tokenId: string | null): boolean {
    return tokenId !== null && this.ids.has(tokenId);
  }
}
