import { fileURLToPath } from 'node:url';
import { VitePWA } from 'vite-plugin-pwa';
import { defineConfig } from 'vitest/config';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

// Only modules that import nothing outside the list: a ring of files would run before it is whole.
const SHARED =
  /src[\\/](domain[\\/](record|fold)[\\/]|domain[\\/](begin|intent|way|route|site-routes|site-book|code|own-codes|check-character|ticket-pattern|ids|instant|shapes|cursor|drafts|uuid)\.ts|words[\\/](bench|names|format|line|scans)\.ts)|node_modules[\\/](zod|preact|idb)[\\/]/;

export default defineConfig({
  root: here('./src'),
  publicDir: here('./public'),
  build: {
    outDir: here('./dist'),
    emptyOutDir: true,
    target: 'es2022',
    sourcemap: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      // Scanning in a file of its own, so that its share of the first load can be told; the page waits for it.
      output: {
        codeSplitting: {
          includeDependenciesRecursively: false,
          groups: [
            { name: 'scan', test: /src[\\/]tablet[\\/]scan[\\/](?!.*(decoder|zxing|luminance))/ },
            // What bench and desk share of the first load, in one file: a dozen small ones are packed far worse.
            { name: 'shared', test: SHARED },
          ],
        },
      },
    },
  },
  worker: { format: 'es' },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [
    VitePWA({
      registerType: 'prompt',
      injectRegister: false,
      strategies: 'injectManifest',
      srcDir: 'tablet',
      filename: 'sw.ts',
      injectManifest: {
        // A classic script, as a service worker is registered: no `import.meta` in it.
        rollupFormat: 'iife',
        globPatterns: ['**/*.{js,css,html,woff2,svg,png,wasm,webmanifest}'],
        maximumFileSizeToCacheInBytes: 4 * 1024 * 1024,
      },
      manifest: {
        id: '/',
        name: 'Waxend',
        short_name: 'Waxend',
        description: 'Clock pairs in and out at the bench',
        start_url: '/bench',
        scope: '/',
        display: 'standalone',
        orientation: 'any',
        background_color: '#f7f2e8',
        theme_color: '#1d1916',
        icons: [
          { src: '/icon.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
          { src: '/icon-192.png', sizes: '192x192', type: 'image/png', purpose: 'any' },
          { src: '/icon-512.png', sizes: '512x512', type: 'image/png', purpose: 'any' },
          { src: '/icon-maskable-512.png', sizes: '512x512', type: 'image/png', purpose: 'maskable' },
        ],
      },
    }),
  ],
  define: { __VERSION__: JSON.stringify(process.env.npm_package_version ?? '0.1.0') },
  test: {
    root: here('./'),
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    setupFiles: ['tests/support/property-seed.ts'],
    testTimeout: 30_000,
    hookTimeout: 60_000,
    maxWorkers: 2,
  },
  server: { proxy: { '/api': 'http://127.0.0.1:8787' } },
});
