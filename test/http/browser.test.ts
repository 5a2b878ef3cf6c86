import { expect, test } from 'vitest'
import { browserWords } from '../../server/http/browser.ts'

// The shapes are those that MDN describes ("User-Agent header", "Browser detection using the user agent string");
// the numbers in them are of no matter here.
test.each([
  ['Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0', 'Firefox on Linux'],
  ['Mozilla/5.0 (Android 15; Mobile; rv:140.0) Gecko/140.0 Firefox/140.0', 'Firefox on Android'],
  [
    'Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) FxiOS/140.0 Mobile/15E148 Safari/605.1.15',
    'Firefox on an iPhone',
  ],
  [
    'Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/138.0.0.0 Safari/537.36',
    'Chrome on Windows',
  ],
  [
    'Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/138.0.0.0 Safari/537.36 Edg/138.0.0.0',
    'Edge on Windows',
  ],
  [
    'Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/138.0.0.0 Safari/537.36 OPR/122.0.0.0',
    'Opera on a Mac',
  ],
  [
    'Mozilla/5.0 (Linux; Android 15; K) AppleWebKit/537.36 (KHTML, like Gecko) SamsungBrowser/28.0 Chrome/130.0.0.0 Mobile Safari/537.36',
    'Samsung Internet on Android',
  ],
  [
    'Mozilla/5.0 (iPad; CPU OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.5 Mobile/15E148 Safari/604.1',
    'Safari on an iPad',
  ],
  ['Mozilla/5.0 (Somewhere) Firefox/1.0', 'Firefox'],
  ['lightMyRequest', "a program, or a browser that doesn't say"],
  ['<script>alert(1)</script>', "a program, or a browser that doesn't say"],
  ['', "a program, or a browser that doesn't say"],
  [undefined, "a program, or a browser that doesn't say"],
])('%s', (agent, words) => {
  expect(browserWords(agent)).toBe(words)
})
