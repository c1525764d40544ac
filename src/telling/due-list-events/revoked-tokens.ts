/** So many are remembered. */
const KEPT = 1000;

/**
 * The tokens that were revoked last: a stream that is just being opened may belong to one of them.
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
