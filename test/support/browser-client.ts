import { type Answer, clientOf } from './client.js';

/** A browser without a screen: it keeps the session cookie, and sends what a page of ours sends. */
export interface PageClient {
  /** The cookie as it is sent; empty while signed out. */
  cookie: string;
  get(path: string, headers?: Record<string, string>): Promise<Answer>;
  post(path: string, body?: unknown, headers?: Record<string, string>): Promise<Answer>;
  patch(path: string, body: unknown, headers?: Record<string, string>): Promise<Answer>;
  delete(path: string, headers?: Record<string, string>): Promise<Answer>;
}

const OF_PAGE = { 'weephole-page': '1', 'sec-fetch-site': 'same-origin' };

export function pageAt(url: string, cookie = ''): PageClient {
  const bare = clientOf(url, null);
  const sent = (more: Record<string, string> = {}): Record<string, string> => ({
    ...OF_PAGE,
    ...(page.cookie === '' ? {} : { cookie: page.cookie }),
    ...more,
  });
  const keeping = async (answer: Promise<Answer>): Promise<Answer> => {
    const got = await answer;
    const set = got.headers.get('set-cookie');
    if (set !== null) page.cookie = set.includes('Max-Age=0') ? '' : (set.split(';')[0] ?? '');
    return got;
  };
  const page: PageClient = {
    cookie,
    get: (path, headers) => keeping(bare.get(path, sent(headers))),
    post: (path, body, headers) => keeping(bare.post(path, body, sent(headers))),
    patch: (path, body, headers) => keeping(bare.patch(path, body, sent(headers))),
    delete: (path, headers) => keeping(bare.delete(path, sent(headers))),
  };
  return page;
}

/** Has a manager make a link for the person, and signs a browser in with it. */
export async function signedIn(
  url: string,
  manager: { post(path: string): Promise<Answer> },
  personId: string,
): Promise<PageClient> {
  const link = await manager.post(`/v1/people/${personId}/sign-in-links`);
  const page = pageAt(url);
  const { status, body } = await page.post('/v1/sessions', { code: codeOf(link.body.url) });
  if (status !== 201) throw new Error(`${status} ${JSON.stringify(body)}`);
  return page;
}

/** The code of a sign-in link, as its page reads it from the fragment. */
export const codeOf = (url: string): string => new URL(url).hash.slice(1);
