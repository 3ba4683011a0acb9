/** @type {import('next').NextConfig} */
const config = {
  output: 'export',
  reactStrictMode: true,
  poweredByHeader: false,
  trailingSlash: true,
  images: { unoptimized: true },
  typescript: { ignoreBuildErrors: true }, // `npm run types` checks every folder at once
  experimental: { cpus: 2 },
};

export default config;
