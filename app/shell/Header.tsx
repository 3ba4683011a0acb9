'use client';
import Link from 'next/link';
import { usePathname } from 'next/navigation';
import './shell.css';

const pages = [
  { href: '/', label: 'Compare' },
  { href: '/data/', label: 'Data' },
  { href: '/dictionary/', label: 'Dictionary' },
  { href: '/method/', label: 'Method' },
] as const;

export function Header() {
  const here = usePathname();
  return (
    <header className="site-header">
      <p className="name">Implant survivorship workbench</p>
      <nav aria-label="Pages">
        <ul>
          {pages.map(({ href, label }) => (
            <li key={href}>
              <Link href={href} prefetch={false} aria-current={here === href ? 'page' : undefined}>{label}</Link>
            </li>
          ))}
        </ul>
      </nav>
    </header>
  );
}
