/** Returns the text of a stored message, which may be a plain text from before messages existed. */
export function textIn(said: string | { text: string }): string {
  return typeof said === 'string' ? said : said.text;
}
