//! Access to the page. The link that is printed has a token, which is exchanged once
//! for a cookie. All routes are under a secret path, since browsers share cookies
//! between all ports of a host but send a cookie only under its path.

use std::net::SocketAddr;
use std::sync::Mutex;

use data_encoding::HEXLOWER;

use crate::core::digest::sha256;

/// Random bytes in each secret.
const SECRET_BYTES: usize = 16;

/// The name of the cookie; the cookies of two runs differ in their path.
const COOKIE: &str = "coldring";

/// The token and the cookie are compared as digests, so that the time a comparison
/// takes reveals nothing.
#[derive(Debug)]
pub(crate) struct Session {
    /// Address and port, as browsers write them.
    host: String,
    /// The path of all routes, with a slash at both ends.
    base: String,
    /// Digest of the token, until it is spent.
    token: Mutex<Option<String>>,
    /// The cookie's value, given out with the token.
    cookie: String,
    cookie_digest: String,
}

impl Session {
    /// A session at an address, and the token for its link.
    ///
    /// # Errors
    /// That the system gives no random bytes.
    pub(crate) fn new(address: SocketAddr) -> Result<(Self, String), String> {
        let (token, cookie) = (random_hex()?, random_hex()?);
        let session = Self {
            // Browsers leave out the default port of the scheme.
            host: match address.port() {
                80 => address.ip().to_string(),
                _ => address.to_string(),
            },
            base: format!("/{}/", random_hex()?),
            token: Mutex::new(Some(sha256(token.as_bytes()))),
            cookie_digest: sha256(cookie.as_bytes()),
            cookie,
        };
        Ok((session, token))
    }

    /// What the `Host` header must be; another name that leads here is an attack by
    /// its owner.
    pub(crate) fn host(&self) -> &str {
        &self.host
    }

    /// The path of all routes, with a slash at both ends.
    pub(crate) fn base(&self) -> &str {
        &self.base
    }

    /// What the `Origin` header of requests from the page must be.
    pub(crate) fn origin(&self) -> String {
        format!("http://{}", self.host)
    }

    /// Uses up the token; returns the cookie to set, or none if it is wrong or used.
    pub(crate) fn redeem(&self, token: &str) -> Option<String> {
        let given = sha256(token.as_bytes());
        let mut right = self.token.lock().ok()?;
        if right.as_deref() != Some(&given) {
            return None;
        }
        *right = None;
        Some(format!(
            "{COOKIE}={}; Path={}; HttpOnly; SameSite=Strict",
            self.cookie, self.base
        ))
    }

    /// Whether a `Cookie` header has the cookie.
    pub(crate) fn has_cookie(&self, header: &str) -> bool {
        header.split(';').any(|pair| {
            let value = pair.trim().split_once('=');
            value.is_some_and(|(is, value)| {
                is == COOKIE && sha256(value.as_bytes()) == self.cookie_digest
            })
        })
    }
}

fn random_hex() -> Result<String, String> {
    let mut bytes = [0; SECRET_BYTES];
    getrandom::fill(&mut bytes).map_err(|error| error.to_string())?;
    Ok(HEXLOWER.encode(&bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn begun() -> (Session, String) {
        Session::new(SocketAddr::from(([127, 0, 0, 1], 8765))).unwrap()
    }

    #[test]
    fn a_token_is_spent_once_and_its_cookie_stays_good() {
        let (session, token) = begun();
        assert_eq!(session.redeem("x"), None);
        assert_eq!(session.redeem(""), None);
        let Some(set) = session.redeem(&token) else {
            panic!("refused");
        };
        assert_eq!(session.redeem(&token), None);
        let looks = format!("; Path={}; HttpOnly; SameSite=Strict", session.base());
        assert!(set.ends_with(&looks), "{set}");
        let pair = set.split(';').next().unwrap();
        assert!(session.has_cookie(pair));
        assert!(session.has_cookie(&format!("a=b; {pair}; c=d")));
    }

    #[test]
    fn what_is_not_the_cookie_is_not_known() {
        let (session, token) = begun();
        for header in ["", "coldring=", "coldring", "=", &token] {
            assert!(!session.has_cookie(header), "{header}");
        }
        // The token is no cookie, nor is the cookie of another run.
        assert!(!session.has_cookie(&format!("coldring={token}")));
        let (other, token) = begun();
        let Some(set) = other.redeem(&token) else {
            panic!("refused");
        };
        assert!(!session.has_cookie(set.split(';').next().unwrap()));
    }

    #[test]
    fn addresses_of_another_run_begin_otherwise() {
        let ((one, _), (other, _)) = (begun(), begun());
        assert_ne!(one.base(), other.base());
        // 128 bits in hexadecimal digits.
        assert_eq!(one.base().len(), 34);
        assert!(one.base().starts_with('/') && one.base().ends_with('/'));
    }

    // Both as the URL standard serializes a host, https://url.spec.whatwg.org/:
    // without the port that is the scheme's own.
    #[test]
    fn the_port_of_the_scheme_is_not_written() {
        let at = |port| Session::new(SocketAddr::from(([127, 0, 0, 1], port)));
        let (session, _) = at(80).unwrap();
        assert_eq!(session.host(), "127.0.0.1");
        assert_eq!(session.origin(), "http://127.0.0.1");
        assert_eq!(at(8080).unwrap().0.origin(), "http://127.0.0.1:8080");
    }
}
