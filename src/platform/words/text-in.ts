/** The text of what was said, whether or not it was a message when it was stored. */
export function textIn(said: string | { text: string }): string {
  return typeof said === 'string' ? said : said.text;
}
