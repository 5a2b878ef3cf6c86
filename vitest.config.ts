import { defineConfig } from 'vitest/config'

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    environment: 'node',
    globalSetup: 'test/support/global-setup.ts',
    testTimeout: 30_000,
    hookTimeout: 60_000,
    teardownTimeout: 30_000,
    maxWorkers: 2,
    projects: [
      {
        extends: true,
        test: { name: 'suite', include: ['test/**/*.test.{ts,tsx}'], exclude: ['test/e2e/**'] },
      },
      {
        extends: true,
        // After the rest and one file at a time: each drives a browser and watches the clock.
        test: {
          name: 'e2e',
          include: ['test/e2e/**/*.test.{ts,tsx}'],
          fileParallelism: false,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
})
