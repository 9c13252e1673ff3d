# The page's scripts and styles as one source file: cmake -DSCRIPTS=a;b -DSTYLES=c -DOUT=x.cpp -P embed_page.cmake
set(script "\n")
foreach(file ${SCRIPTS})
    file(READ ${file} text)
    string(APPEND script "${text}")
endforeach()
set(style "\n")
foreach(file ${STYLES})
    file(READ ${file} text)
    string(APPEND style "${text}")
endforeach()
# The page's security policy knows a script by the base64 of its SHA-256.
string(SHA256 hex "${script}")
set(alphabet "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/")
set(hash "")
foreach(at RANGE 0 60 6)
    string(SUBSTRING "${hex}0000" ${at} 6 six)
    foreach(shift 18 12 6 0)
        math(EXPR index "(0x${six} >> ${shift}) & 63")
        string(SUBSTRING "${alphabet}" ${index} 1 letter)
        string(APPEND hash "${letter}")
    endforeach()
endforeach()
string(SUBSTRING "${hash}" 0 43 hash)
file(CONFIGURE OUTPUT ${OUT} CONTENT [[// Made by embed_page.cmake from the files in report/page.
#include "report/picture.h"

namespace turnwright::report {

const std::string_view page_script = R"PAGE(@script@)PAGE";
const std::string_view page_script_hash = "@hash@=";
const std::string_view page_style = R"PAGE(@style@)PAGE";

} // namespace turnwright::report
]] @ONLY)
