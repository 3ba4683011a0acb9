'use client';
import Link from 'next/link';
import { usePathname } from 'next/navigation';
import './dataPages.css';

const pages = [
  { href: '/data/', label: 'Loaded' },
  { href: '/data/import/', label: 'Bring your own' },
  { href: '/data/quality/', label: 'Quality' },
] as const;

/** The pages of the section Data, above the first heading of each. */
export function DataPages() {
  const here = usePathname();
  return (
    <nav className="data-pages" aria-label="Pages about the data">
      <ul>
        {pages.map(({ href, label }) => (
          <li key={href}><Link href={href} prefetch={false} aria-current={here === href ? 'page' : undefined}>{label}</Link></li>
        ))}
      </ul>
    </nav>
  );
}
