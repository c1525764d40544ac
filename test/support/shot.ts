import { writeFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';

/**
 * Takes a picture of a page as it is at this point of a test. With `WEEPHOLE_PICTURES=true` it is
 * kept in docs/pictures (`npm run pictures`); a usual run leaves the files as they are.
 */
export async function shot(page: Page, name: string): Promise<void> {
  const picture = await page.screenshot();
  if (process.env.WEEPHOLE_PICTURES === 'true') await writeFile(`docs/pictures/${name}.png`, picture);
}
