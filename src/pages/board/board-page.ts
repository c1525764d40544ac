/** Where the page finds what it is made of. */
export interface BoardAddresses {
  entry: string;
  style: string;
  scripts: readonly string[];
}

/** The page without any data: its scripts ask for those once somebody has signed in. */
export function boardPage({ entry, style, scripts }: BoardAddresses): string {
  // All at once, or the browser would find one script in the other, a round trip each.
  const preloads = scripts.map((path) => `<link rel="modulepreload" href="${path}">`).join('\n');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>Board · Weephole</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="${style}">
${preloads}
<script type="module" src="${entry}"></script>
</head>
<body>
<a class="skip" id="skip" href="#main">Skip to the content</a>
<header class="title-block">
<p class="name">Weephole <span id="fleet"></span></p>
<nav id="views" aria-label="Views" hidden>
<ul>
<li><a href="#/due" data-view="due">Due list</a></li>
<li><a href="#/alerts" data-view="alerts">Loss alerts</a></li>
<li><button type="button" class="plain" id="sign-out">Sign out</button></li>
</ul>
</nav>
</header>
<main id="main" tabindex="-1"><noscript><p>The board needs JavaScript.</p></noscript></main>
<footer>
<p id="connection" role="status"></p>
<p>The board shows what was recorded and reckoned. It replaces neither the vehicle maker's service information, nor local rules, nor qualified people.</p>
</footer>
<div id="news" class="unseen" role="status" aria-live="polite"></div>
</body>
</html>
`;
}
