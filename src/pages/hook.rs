//! A hook as both customs name it.

use crate::terms::hooks::SIZES;

/// The US size of a hook of so many mm, such as `US E-4` or `US M/N-13`; between two sizes of the table
/// `between US C-2 and US D-3`; `None` outside of the table.
pub fn us_size(mm: f64) -> Option<String> {
    if let Some(exact) = named(mm) {
        return Some(exact);
    }
    let below = SIZES.iter().rfind(|size| size.0 < mm)?;
    let above = SIZES.iter().find(|size| size.0 > mm)?;
    Some(format!(
        "between {} and {}",
        named(below.0)?,
        named(above.0)?
    ))
}

/// The name of a size that is in the table.
fn named(mm: f64) -> Option<String> {
    let of_size = || SIZES.iter().filter(|size| (size.0 - mm).abs() < 0.01);
    let number = of_size().next()?.2;
    let letters: Vec<&str> = of_size()
        .map(|size| size.1)
        .filter(|letter| !letter.is_empty())
        .collect();
    Some(match letters.is_empty() {
        true => format!("US {number}"),
        false => format!("US {}-{number}", letters.join("/")),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// matifs.com, "crochet hooks size chart".
    #[test]
    fn sizes_have_their_us_names() {
        let us = |mm| us_size(mm).unwrap();
        assert_eq!(us(3.5), "US E-4");
        assert_eq!(us(4.5), "US 7");
        assert_eq!(us(6.5), "US K-10½");
        assert_eq!(us(9.0), "US M/N-13");
        assert_eq!(us(3.0), "between US C-2 and US D-3");
        assert_eq!(us_size(1.0), None);
        assert_eq!(us_size(25.0), None);
    }
}
