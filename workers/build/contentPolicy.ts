import { createHash } from 'node:crypto';
import type { Plugin } from 'vite';

/** What the built page may do, by kind of resource; all that is not named is forbidden. */
const rules: Readonly<Record<string, string>> = {
  'default-src': "'none'",
  // Photos that she brings have addresses of the page's own making; the page's small icon is in the page itself.
  'img-src': "'self' blob: data:",
  'style-src': "'self'",
  // The sample photos; everything else stays on the device.
  'connect-src': "'self'",
  'worker-src': "'self'",
  'manifest-src': "'self'",
  'base-uri': "'none'",
  'form-action': "'none'",
};

const inlineScript = /<script>([\s\S]*?)<\/script>/g;

const hashOf = (script: string): string => `'sha256-${createHash('sha256').update(script).digest('base64')}'`;

/** The policy for a page: scripts from its own server, and the ones that stand in the page as they are now. */
export const policyFor = (html: string): string => {
  const inline = [...html.matchAll(inlineScript)].map((match) => hashOf(match[1] ?? ''));
  const all = { ...rules, 'script-src': ["'self'", ...inline].join(' ') };
  return Object.entries(all)
    .map(([name, value]) => `${name} ${value}`)
    .join('; ');
};

/**
 * Writes a strict Content-Security-Policy (W3C CSP Level 3) into the built page. The vision worker is loaded by its address and so takes the
 * policy of its own response, which lets OpenCV make functions there that the page itself may not make. While developing, the
 * server's own scripts and styles need more than this, so the page has no policy then.
 */
export const contentPolicy = (): Plugin => ({
  name: 'content-policy',
  apply: 'build',
  transformIndexHtml: {
    order: 'post',
    handler: (html) => {
      const meta = `<meta http-equiv="Content-Security-Policy" content="${policyFor(html)}" />`;
      return html.replace(/<meta charset="utf-8" \/>/, (charset) => `${charset}\n    ${meta}`);
    },
  },
});
